# Português. Uma mensagem por frase. Sem algarismos nem sinais: os números aparecem por palavras.
# Ver docs/languages.md

this-eye = { $eye ->
    [left] olho esquerdo
   *[right] olho direito
}

## The steps, as usually said

step-closed = O dia ainda não foi aberto.
step-helper = Bom dia. Carregue no número da sua figura.
step-language = Carregue no número da sua língua.
step-sound = Está a ouvir-me? Mais para sim, menos para não.
step-voice = { $room ->
    [bad] Aqui há barulho demais para o ouvir. Hoje usamos o teclado. Carregue em Enter.
   *[none] Agora vou ver se o entendo. Diga cada número depois de mim.
}
step-zero = Tire tudo do focímetro e leia a potência.
step-reference = Ponha a lente de prova no focímetro e leia.
step-index = Ponha a linha de prova ao longo da escala e leia para onde aponta.
step-cutter = O cortador está carregado e pronto?
step-order = Escolha o próximo pedido, ou zero para introduzir um.
step-key_order = Introduza o pedido que está no papel.
step-plan = { $frame ->
    [none] Veja o plano e carregue em Enter.
   *[other] Pegue na armação marcada { $frame } e carregue em Enter.
}
step-fetch = Vá buscar a lente do { this-eye } à bolsa { $pocket } e diga-me o número da bolsa.
step-read = Ponha a lente no focímetro, lado côncavo para baixo, e leia.
step-dot = Rode a lente até as linhas ficarem nítidas e faça os três pontos.
step-mark = { $setting ->
    [none] Esta lente pode ficar de qualquer maneira: marque a ranhura onde quiser e carregue em Enter.
   *[other] Lado curvo para cima: rode os pontos até { $setting }, marque a borda no sinal do nariz e diga-me onde estão os pontos.
}
step-cut = Óculos de proteção. Corte a ranhura na marca, com { $depth } de fundo, e meça.
step-trim = Corte o pino até { $length }, lime a ponta e meça.
step-fit = Ponha a lente no aro do { this-eye }, pino na ranhura, e feche o parafuso. A lente está inteira?
step-side = Veja a lente do { this-eye } no aro. O lado curvo está para fora?
step-check = Ponha o { this-eye } já montado no focímetro e leia.
step-distance = Meça entre os dois centros e depois quanto um está mais alto.
step-verdict = Veja o resultado e carregue em Enter.
step-wearer = Ponha os óculos na pessoa. Assentam bem?
step-hand_over = Entregue os óculos à pessoa e carregue em Enter.
step-account = A lente do { this-eye }: ainda está inteira?
step-supervisor = Espere pelo supervisor, por favor.

## The same, for someone who knows the work

short-step-closed = Dia por abrir.
short-step-helper = A sua figura.
short-step-language = A sua língua.
short-step-sound = Está a ouvir-me?
short-step-voice = { $room ->
    [bad] Barulho demais. Teclado.
   *[none] Diga cada número.
}
short-step-zero = Focímetro vazio.
short-step-reference = Lente de prova.
short-step-index = Linha de prova.
short-step-cutter = Cortador pronto?
short-step-order = Próximo pedido.
short-step-key_order = Introduza o pedido.
short-step-plan = { $frame ->
    [none] O plano.
   *[other] Armação { $frame }.
}
short-step-fetch = { this-eye }, bolsa { $pocket }.
short-step-read = Leia.
short-step-dot = Três pontos.
short-step-mark = { $setting ->
    [none] Marque onde quiser.
   *[other] Pontos em { $setting }.
}
short-step-cut = Corte, { $depth }.
short-step-trim = Pino, { $length }.
short-step-fit = Monte. Lente inteira?
short-step-side = Lente do { this-eye }, lado curvo para fora?
short-step-check = Leia o { this-eye }.
short-step-distance = Meça os centros.
short-step-verdict = O resultado.
short-step-wearer = Assentam bem?
short-step-hand_over = Entregue.
short-step-account = Lente do { this-eye }, inteira?
short-step-supervisor = Espere.

## The same, for a learner

learner-step-closed = O dia ainda não foi aberto. Peça ao supervisor que o abra.
learner-step-helper = Bom dia. Procure a sua figura no ecrã e carregue no número ao lado dela.
learner-step-language = Escute a sua língua e carregue no número que ouvir com ela.
learner-step-sound = Se ouve estas palavras, carregue em mais. Se não ouve, carregue em menos.
learner-step-voice = { $room ->
    [bad] Aqui há barulho demais para o ouvir. Hoje usamos o teclado, e eu continuo a falar. Carregue em Enter para continuar.
   *[none] Agora vou ver se o entendo. Vê um número e ouve-o. Depois do sinal, diga-o em voz alta. Se prefere o teclado, carregue em Enter.
}
learner-step-zero = Tire todas as lentes do focímetro, rode o tambor até a imagem ficar nítida e introduza o que o tambor mostra.
learner-step-reference = Ponha a lente de prova no focímetro com o lado côncavo para baixo, leia os três valores e introduza um de cada vez.
learner-step-index = Ponha a linha de prova sobre o transferidor, direita ao longo da linha do meio, e introduza o valor para onde aponta.
learner-step-cutter = Ligue o cortador um momento. Se roda com força, carregue em mais. Se está fraco, carregue em menos.
learner-step-order = Escolha o pedido de cima pelo seu número, ou carregue em zero para introduzir um pedido do papel.
learner-step-key_order = Introduza o que o clínico escreveu, um valor de cada vez. Não mude nada.
learner-step-plan = { $frame ->
    [none] Veja o plano no ecrã. Se está tudo claro, carregue em Enter.
   *[other] Tire da caixa uma armação marcada { $frame }, ponha-a à sua frente e carregue em Enter.
}
learner-step-fetch = Procure a bolsa { $pocket } no tabuleiro, onde está a luz. Tire uma lente para o { this-eye }. Depois diga-me os dois algarismos escritos na bolsa. Se a bolsa está vazia, diga não, ou carregue em menos.
learner-step-read = Ponha a lente no focímetro, lado côncavo para baixo, bem no meio. Rode até as linhas ficarem nítidas e diga-me o que lê. Não adivinhe.
learner-step-dot = Rode a lente até as linhas ficarem direitas, mantenha-a no meio e faça os três pontos de tinta.
learner-step-mark = { $setting ->
    [none] Esta lente é igual em toda a volta. Ponha o lado curvo para cima, marque a borda onde quiser e carregue em Enter.
   *[other] Ponha a lente no transferidor, lado curvo para cima. Rode até a fila de pontos ficar em { $setting }. Marque a borda no sinal do nariz. Depois leia outra vez a escala e diga-me onde estão os pontos.
}
learner-step-cut = Ponha os óculos de proteção e prenda a lente no suporte. Ninguém fica por perto. Corte a ranhura na marca, com { $depth } de fundo, limpe e meça o fundo com o calibre.
learner-step-trim = Segure as duas pontas do pino e corte-o até { $length }. Lime a ponta, senão ela lasca a lente. Depois meça o pino com o calibre.
learner-step-fit = Abra o parafuso do aro do { this-eye }. Ponha a lente, lado curvo para a frente, com o pino na ranhura. Feche o parafuso devagar. Procure lascas. A lente está inteira?
learner-step-side = Segure os óculos virados para si, como se o utente estivesse à sua frente. Toque na lente do { this-eye }. Se o lado curvo está para fora, carregue em mais. Se o lado cavado está para fora, carregue em menos.
learner-step-check = Ponha os óculos prontos no focímetro com o { this-eye } no meio, lado côncavo para baixo. Leia os três valores e diga-me o que vê. Não adivinhe.
learner-step-distance = Meça com a régua do centro de uma lente ao centro da outra. Depois meça quanto um centro está mais alto do que o outro.
learner-step-verdict = Veja o resultado. Se alguma coisa não está bem, a figura mostra o que fazer. Carregue em Enter para continuar.
learner-step-wearer = Ponha os óculos na pessoa com cuidado. Veja o nariz e atrás das orelhas. Assentam bem? Depois peça a linha mais pequena que a pessoa consegue ler.
learner-step-hand_over = Diga à pessoa que mantenha os óculos limpos e que volte se lhe doer a cabeça. Entregue os óculos e carregue em Enter.
learner-step-account = Este par foi abandonado. Veja a lente do { this-eye }. Se está inteira, carregue em mais. Se está partida, carregue em menos.
learner-step-supervisor = Isto é o supervisor que decide. Espere, por favor, e deixe tudo como está.

## What is entered

field-done = Carregue em Enter quando estiver feito.
field-picture = A sua figura.
field-language = A sua língua.
field-heard = Sim ou não.
field-first = { $number }.
field-second = { field-first }
field-third = { field-first }
field-fourth = { field-first }
field-sphere = A esfera.
field-cylinder = O cilindro.
field-axis = O eixo.
field-ready = Pronto, sim ou não.
field-choice = O número do pedido.
field-case = O número do caso.
field-eyes = Que olhos.
field-purpose = Um para longe, dois para perto.
field-right_kind = Olho direito: um para uma potência, dois para uma lente de equilíbrio, três para nenhuma lente.
field-right_sphere = Olho direito, a esfera.
field-right_cylinder = Olho direito, o cilindro.
field-right_axis = Olho direito, o eixo.
field-left_kind = Olho esquerdo: um para uma potência, dois para uma lente de equilíbrio, três para nenhuma lente.
field-left_sphere = Olho esquerdo, a esfera.
field-left_cylinder = Olho esquerdo, o cilindro.
field-left_axis = Olho esquerdo, o eixo.
field-pd = A distância entre as pupilas.
field-right_pd = Do nariz à pupila direita.
field-left_pd = Do nariz à pupila esquerda.
field-vertex = A distância da lente ao olho, ou zero se não está escrita.
field-read_back = Está tudo certo, sim ou não?
field-check_number = O número da bolsa.
field-scale = Onde estão os pontos.
field-depth = O fundo da ranhura.
field-pin = O comprimento do pino.
field-outward = Lado curvo para fora, sim ou não.
field-whole = Inteira, sim ou não.
field-centres = A distância entre os centros.
field-height = Quanto mais alto.
field-comfortable = Assentam bem, sim ou não?
field-acuity = A linha mais pequena que leu: seis sobre quanto?
field-code = O código do supervisor.
field-decision = A decisão do supervisor, sim ou não.

## What was not accepted, and what to do

refused-acuity_low = A pessoa não vê bem que chegue com estes. O supervisor tem de ver.
refused-battery_low = Mude primeiro a bateria do cortador.
refused-case_missing = Falta o número do caso.
refused-check_number_wrong = Essa não é a bolsa certa. Procure outra vez.
refused-chipped = Essa lente está perdida. Ponha-a de lado; vamos buscar uma nova.
refused-code_wrong = Esse código não é conhecido.
refused-confusable = Isso pode ser dois números. Diga outra vez, algarismo por algarismo.
refused-count_wrong = Essa conta não pode ser. Conte a bolsa outra vez.
refused-distance_wrong = Os centros não estão onde deviam.
refused-height_wrong = Uma lente está mais alta do que a outra.
refused-needs_sign = Sinal mais ou sinal menos? Diga também o sinal.
refused-not_a_number = Isso não é um número. Outra vez.
refused-not_asked = Não foi isso que perguntei agora.
refused-not_comfortable = Os óculos não assentam bem. O supervisor tem de ver.
refused-not_in_steps = Esse passo não existe na escala. Outra vez.
refused-not_understood = Não percebi. Outra vez.
refused-not_whole = Um número inteiro, por favor.
refused-nothing_heard = Não ouvi nada. Outra vez.
refused-offset_too_large = O aparelho está muito desviado. Chame o supervisor.
refused-only_enter = Carregue só em Enter.
refused-order_not_right = Então introduzimos o pedido de novo.
refused-order_twice = Esse pedido já está à espera.
refused-out_of_range = { $low ->
    [none] Esse número não pode ser. Outra vez.
   *[other] Esse número não pode ser: fica entre { $low } e { $high }.
}
refused-pin_long = O pino está comprido demais. Corte um pouco e meça outra vez.
refused-pin_short = O pino está curto demais para segurar. Use um pino novo.
refused-prism_too_large = As duas lentes não ficam bem juntas diante dos olhos.
refused-reading_fails = A leitura ainda não está certa. Leia outra vez.
refused-scale_wrong = Os pontos ainda não estão aí. Rode a lente outra vez.
refused-slot_deep = A ranhura está funda demais. Ponha esta lente de lado; vamos buscar uma nova.
refused-slot_shallow = A ranhura tem pouco fundo. Corte mais um pouco e meça outra vez.
refused-sound_missing = Não há som. Continuamos com o teclado.
refused-stock_gone = A bolsa está vazia. Vou procurar outra lente.
refused-too_long = É comprido demais. Outra vez.
refused-wrong_frame = Essa não é a armação que pedi.
refused-wrong_length = { $count ->
    [none] Não é o número certo de algarismos.
   *[other] Preciso de { $count } algarismos.
}
refused-wrong_lens = Essa não é a lente certa. Ponha-a de lado e veja a bolsa.
refused-yes_or_no = Carregue em mais para sim ou em menos para não.

## What probably went wrong

cause-or = Ou pode ser isto:
cause-slot_on_centre_line = A ranhura foi cortada na linha do meio e não no pino.
cause-cut_for_other_eye = A ranhura foi cortada para o outro olho.
cause-lenses_swapped = As duas lentes estão trocadas nos aros.
cause-face_down = A lente estava com o lado curvo para baixo.
cause-plus_axis_dotted = Os pontos foram feitos ao longo da linha errada.
cause-scale_misread_ten = A escala foi lida dez acima ou dez abaixo.
cause-digits_confused = Um número foi tomado por outro que soa parecido.
cause-digits_swapped = Dois algarismos do número trocaram de lugar.
cause-sphere_sign = A lente tem mais onde devia ter menos, ou ao contrário.
cause-neighbour_pocket = A lente veio da bolsa ao lado.
cause-turned_in_rim = A lente rodou no aro porque o pino não a segura.
cause-unknown = Não sei dizer o que correu mal.
cause-wrong_frame = { refused-wrong_frame }
cause-distance_wrong = { refused-distance_wrong }
cause-height_wrong = { refused-height_wrong }
cause-prism_too_large = { refused-prism_too_large }

## What would tell two causes apart

ask-scale = Veja outra vez a marca e os pontos no transferidor: onde estão os pontos?
ask-other-eye = Leia a outra lente: tem as potências deste olho?
ask-curved-side = Veja a lente no aro: o lado curvo está à frente?
ask-dots = Ponha a lente outra vez no focímetro: os pontos estão ao longo da linha direita?
ask-pocket = Veja a bolsa que abriu: mostra o outro sinal?
ask-pocket-count = Conte as lentes das bolsas ao lado: falta alguma?
ask-pin-in-slot = Veja o pino: entra bem na ranhura?
ask-read-again = Leia a lente mais uma vez no focímetro.

## The way back

rescue-none_needed = Não há nada a corrigir.
rescue-turn_over = Tire a lente, vire-a ao contrário e monte-a outra vez.
rescue-swap_lenses = Tire as duas lentes e troque-as.
rescue-seat_again = Tire a lente e assente-a de novo com o pino na ranhura.
rescue-second_slot = A lente pode salvar-se: corte uma segunda ranhura onde eu mostrar.
rescue-set_aside = Ponha esta lente de lado. Fazemos uma nova.

## Why the supervisor or the clinician must look

reason-nothing_to_make = Não foi pedida nenhuma lente.
reason-balance_alone = Foi pedida uma lente de equilíbrio, mas não há outro olho a igualar.
reason-sphere_not_quarter = Uma esfera não está em passos de um quarto.
reason-cylinder_not_quarter = Um cilindro não está em passos de um quarto.
reason-axis_out_of_range = Um eixo não existe na escala.
reason-sphere_signs_differ = Um olho tem mais e o outro menos.
reason-unequal_powers = Os dois olhos são muito diferentes.
reason-axes_unlike = Os dois eixos não combinam.
reason-pd_unusual = A distância entre as pupilas é fora do comum.
reason-pd_halves_differ = As duas metades da distância das pupilas são muito diferentes.
reason-pd_halves_sum = As metades da distância das pupilas não somam certo.
reason-near_pd_greater = A distância de perto é maior do que a de longe.
reason-beyond_bank = A potência está além do que a mala tem.
reason-repeated = O mesmo pedido já foi feito hoje.
reason-order_impossible = Este pedido não se pode fazer.
reason-no_lens = Nenhuma lente da mala é próxima que chegue.
reason-no_frame = Pelas contas já não há armações. Se houver, o supervisor prepara a mala de novo.
reason-prism_too_great = Nenhuma armação põe as lentes bem diante destes olhos.
reason-rounding_too_great = A escala não é fina que chegue para esta lente.
reason-substitute = A lente exata não está na mala; há outra próxima.
reason-not_comfortable = { refused-not_comfortable }
reason-acuity_low = { refused-acuity_low }

question-plan = Este par pode ser feito como está no plano?
question-help = O ajudante pede ajuda.
question-wearer = A pessoa ainda não está bem servida.
question-stuck = Este par já falhou várias vezes.

supervisor-asked = Chamei o supervisor. Espere, por favor.
supervisor-yes = O supervisor diz que sim. Continue.
supervisor-no = O supervisor diz que não.
supervisor-code = Supervisor, introduza o seu código.

## At any time

taken-back = Anulado.
nothing-to-take-back = Não há nada para anular.
abandoned = Este par foi abandonado.
returned = Este pedido volta para o clínico.
pair-done = O par está pronto. Muito bem.
read-back = { $value }, sim?
read-back-empty = A bolsa está vazia, sim?
say-again = Diga outra vez, por favor.
keypad-offered = Use agora o teclado, por favor.
sound-off = O som está desligado. Continuamos com o teclado.
voice-understood = Entendo-o bem. Pode dizer as respostas ou usar as teclas.
voice-keypad-first = Não o entendo bem. Hoje use o teclado, por favor.
voice-asked-later = Agora não consegui escutar. Use o teclado, por favor. Volto a perguntar mais tarde.
numlock = Carregue uma vez na tecla Num Lock e tente outra vez.
record-disk-full = O disco está cheio e esse valor não ficou guardado. Chame o supervisor.
record-mended = A corrente falhou a meio de um valor. Introduza outra vez o último, por favor.
stock-gone = A bolsa está vazia. Vou procurar outra lente.
safety = Use proteção nos olhos, prenda a peça no suporte, cuidado com o pó, e nunca corte perto da pessoa. Siga o pedido de quem receitou e as regras locais sobre quem pode entregar óculos. Uma pessoa com perda súbita da vista, com dor ou com o olho vermelho vai a uma clínica.

## Exercício

practice-which = Pode haver um erro. Carregue no número da figura que o mostra, ou zero se não houver nenhum.
practice-number = Número { $count }.
practice-none = Não houve erro nenhum.
practice-right = Sim, encontrou-o.
practice-wrong = Não, não é esse.
practice-was = Foi este.
practice-score = Lentes: { $count } de cinco.
practice-again = Mais uma vez? Mais para sim, menos para não.

## Enrolment

enrol-start = Eu digo uma palavra, depois ouve-se um sinal. Depois do sinal, diga a palavra como sempre a diz.
enrol-word = { $value }.
enrol-too_quiet = Muito baixo. Mais alto, por favor.
enrol-too_loud = Muito alto. Afaste-se um pouco, por favor.
enrol-noisy = Há demasiado barulho aqui. Procure um lugar mais calmo.
enrol-too_long = Só essa palavra, por favor.
enrol-stopped = Paramos aqui. Da próxima vez continuamos daqui.
enrol-fitting = Obrigado. Agora aprendo a sua voz. Espere, por favor.
enrol-better = A partir de agora entendo-o melhor.
enrol-as-good = Entendo-o bem.
enrol-not-kept = Não consegui aprender bem a sua voz. Continuo a ouvir como antes.
