# Kiswahili. Ujumbe mmoja kwa kila sentensi. Bila tarakimu wala alama: namba huja kwa maneno.
# Tazama docs/languages.md

this-eye = { $eye ->
    [left] jicho la kushoto
   *[right] jicho la kulia
}

## The steps, as usually said

step-closed = Siku bado haijafunguliwa.
step-helper = Habari ya asubuhi. Bonyeza namba ya picha yako.
step-language = Bonyeza namba ya lugha yako.
step-sound = Unanisikia? Jumlisha kwa ndiyo, toa kwa hapana.
step-voice = { $room ->
    [bad] Kuna kelele nyingi hapa, sikusikii. Leo tunatumia vitufe. Bonyeza Enter.
   *[none] Sasa naangalia kama nakuelewa. Sema kila namba baada yangu.
}
step-zero = Ondoa kila kitu kwenye fosimita, kisha soma nguvu.
step-reference = Weka lenzi ya majaribio kwenye fosimita, kisha isome.
step-index = Laza mstari wa majaribio kwenye kipimo, kisha soma unapoelekea.
step-cutter = Je, kikata kina chaji na kiko tayari?
step-order = Chagua agizo linalofuata, au sifuri kuingiza jipya.
step-key_order = Ingiza agizo lililo kwenye karatasi.
step-plan = { $frame ->
    [none] Angalia mpango, kisha bonyeza Enter.
   *[other] Chukua fremu yenye alama { $frame }, kisha bonyeza Enter.
}
step-fetch = Chukua lenzi ya { this-eye } kutoka mfuko { $pocket }, kisha niambie namba ya mfuko.
step-read = Weka lenzi kwenye fosimita, upande wa shimo chini, kisha isome.
step-dot = Zungusha lenzi mpaka mistari ionekane wazi, kisha weka nukta tatu.
step-mark = { $setting ->
    [none] Lenzi hii inaweza kukaa vyovyote: weka alama ya mfereji unapotaka, kisha bonyeza Enter.
   *[other] Upande wa mviringo juu: zungusha nukta hadi { $setting }, weka alama ukingoni kwenye alama ya pua, kisha niambie nukta ziko wapi.
}
step-cut = Vaa miwani ya kinga. Kata mfereji kwenye alama, kina { $depth }, kisha upime.
step-trim = Kata pini hadi { $length }, lainisha ncha kwa tupa, kisha uipime.
step-fit = Weka lenzi kwenye duara la { this-eye }, pini ndani ya mfereji, kisha kaza skrubu. Je, lenzi ni nzima?
step-side = Angalia lenzi ya { this-eye } ndani ya duara. Je, upande wa mviringo uko nje?
step-check = Weka { this-eye } lililokamilika kwenye fosimita, kisha soma.
step-distance = Pima kati ya vituo viwili, kisha kimoja kiko juu kiasi gani.
step-verdict = Angalia matokeo, kisha bonyeza Enter.
step-wearer = Mvishe mtu miwani. Je, imekaa vizuri?
step-hand_over = Mpe mtu miwani yake, kisha bonyeza Enter.
step-account = Lenzi ya { this-eye }: bado ni nzima?
step-supervisor = Tafadhali msubiri msimamizi.

## The same, for someone who knows the work

short-step-closed = Siku haijafunguliwa.
short-step-helper = Picha yako.
short-step-language = Lugha yako.
short-step-sound = Unanisikia?
short-step-voice = { $room ->
    [bad] Kelele nyingi. Vitufe.
   *[none] Sema kila namba.
}
short-step-zero = Fosimita tupu.
short-step-reference = Lenzi ya majaribio.
short-step-index = Mstari wa majaribio.
short-step-cutter = Kikata tayari?
short-step-order = Agizo linalofuata.
short-step-key_order = Ingiza agizo.
short-step-plan = { $frame ->
    [none] Mpango.
   *[other] Fremu { $frame }.
}
short-step-fetch = { this-eye }, mfuko { $pocket }.
short-step-read = Isome.
short-step-dot = Nukta tatu.
short-step-mark = { $setting ->
    [none] Weka alama popote.
   *[other] Nukta hadi { $setting }.
}
short-step-cut = Kata, { $depth }.
short-step-trim = Pini, { $length }.
short-step-fit = Ipachike. Lenzi nzima?
short-step-side = Lenzi ya { this-eye }, mviringo uko nje?
short-step-check = Soma { this-eye }.
short-step-distance = Pima vituo.
short-step-verdict = Matokeo.
short-step-wearer = Imekaa vizuri?
short-step-hand_over = Mpe miwani.
short-step-account = Lenzi ya { this-eye }, nzima?
short-step-supervisor = Subiri.

## The same, for a learner

learner-step-closed = Siku bado haijafunguliwa. Mwombe msimamizi aifungue.
learner-step-helper = Habari ya asubuhi. Tafuta picha yako kwenye skrini, kisha bonyeza namba iliyo kando yake.
learner-step-language = Sikiliza lugha yako, kisha bonyeza namba unayoisikia pamoja nayo.
learner-step-sound = Ukisikia maneno haya, bonyeza jumlisha. Usiposikia, bonyeza toa.
learner-step-voice = { $room ->
    [bad] Kuna kelele nyingi hapa, sikusikii. Leo tunatumia vitufe, nami naendelea kusema. Bonyeza Enter kuendelea.
   *[none] Sasa naangalia kama nakuelewa. Utaona namba na kuisikia. Baada ya mlio, iseme kwa sauti. Ukipenda vitufe, bonyeza Enter.
}
learner-step-zero = Ondoa lenzi zote kwenye fosimita, zungusha gurudumu mpaka picha iwe wazi, kisha ingiza kinachoonyeshwa.
learner-step-reference = Laza lenzi ya majaribio kwenye fosimita, upande wa shimo chini, soma vipimo vyake vitatu, kisha uviingize kimoja kimoja.
learner-step-index = Laza mstari wa majaribio juu ya kipima pembe, sawa na mstari wa kati, kisha ingiza kipimo unapoelekea.
learner-step-cutter = Washa kikata kidogo. Kikizunguka kwa nguvu, bonyeza jumlisha. Kikiwa dhaifu, bonyeza toa.
learner-step-order = Chagua agizo la juu kwa namba yake, au bonyeza sifuri kuingiza agizo la karatasi.
learner-step-key_order = Ingiza alichoandika daktari, kipimo kimoja baada ya kingine. Usibadilishe chochote.
learner-step-plan = { $frame ->
    [none] Angalia mpango kwenye skrini. Kama yote ni wazi, bonyeza Enter.
   *[other] Chukua kwenye sanduku fremu yenye alama { $frame }, iweke mbele yako, kisha bonyeza Enter.
}
learner-step-fetch = Tafuta mfuko { $pocket } kwenye trei, palipo na mwanga. Chukua lenzi moja ya { this-eye }. Kisha niambie tarakimu mbili zilizoandikwa kwenye mfuko. Mfuko ukiwa mtupu, sema hapana, au bonyeza toa.
learner-step-read = Laza lenzi kwenye fosimita, upande wa shimo chini, katikati. Zungusha mpaka mistari iwe wazi, kisha niambie unachosoma. Usikisie.
learner-step-dot = Zungusha lenzi mpaka mistari yake ilale sawa, iweke katikati, kisha bonyeza nukta tatu za wino.
learner-step-mark = { $setting ->
    [none] Lenzi hii ni sawa pande zote. Ilaze upande wa mviringo juu, weka alama ukingoni unapotaka, kisha bonyeza Enter.
   *[other] Laza lenzi kwenye kipima pembe, upande wa mviringo juu. Izungushe mpaka safu ya nukta ifike { $setting }. Weka alama ukingoni kwenye alama ya pua. Kisha soma kipimo tena na uniambie nukta ziko wapi.
}
learner-step-cut = Vaa miwani ya kinga na ushike lenzi kwenye kishikio. Mtu asisimame karibu. Kata mfereji kwenye alama, kina { $depth }, ufute, kisha upime kina kwa geji.
learner-step-trim = Shika ncha zote mbili za pini na uikate hadi { $length }. Lainisha ncha kwa tupa, la sivyo itavunja ukingo wa lenzi. Kisha pima pini kwa geji.
learner-step-fit = Fungua skrubu ya duara la { this-eye }. Weka lenzi, upande wa mviringo mbele, pini ndani ya mfereji. Kaza skrubu polepole. Tafuta nyufa. Je, lenzi ni nzima?
learner-step-side = Shika miwani ikikutazama, kama vile mvaaji anavyokutazama. Gusa lenzi ya { this-eye }. Kama upande wa mviringo uko nje, bonyeza jumlisha. Kama upande wenye shimo uko nje, bonyeza toa.
learner-step-check = Laza miwani iliyokamilika kwenye fosimita, { this-eye } katikati, upande wa shimo chini. Soma vipimo vitatu na uniambie unachoona. Usikisie.
learner-step-distance = Pima kwa rula kutoka kituo cha lenzi moja hadi cha nyingine. Kisha pima kituo kimoja kiko juu ya kingine kiasi gani.
learner-step-verdict = Angalia matokeo. Kama kitu si sawa, picha inaonyesha la kufanya. Bonyeza Enter kuendelea.
learner-step-wearer = Mvishe mtu miwani polepole. Angalia pua na nyuma ya masikio. Je, imekaa vizuri? Kisha uliza mstari mdogo kabisa anaoweza kusoma.
learner-step-hand_over = Mwambie mtu atunze miwani ikiwa safi, na arudi kama kichwa kinamuuma. Mpe miwani, kisha bonyeza Enter.
learner-step-account = Miwani hii imeachwa. Angalia lenzi ya { this-eye }. Kama ni nzima, bonyeza jumlisha. Kama imevunjika, bonyeza toa.
learner-step-supervisor = Msimamizi ndiye ataamua. Tafadhali subiri, na uache kila kitu kilivyo.

## What is entered

field-done = Bonyeza Enter ukimaliza.
field-picture = Picha yako.
field-language = Lugha yako.
field-heard = Ndiyo au hapana.
field-first = { $number }.
field-second = { field-first }
field-third = { field-first }
field-fourth = { field-first }
field-sphere = Sfia.
field-cylinder = Silinda.
field-axis = Mhimili.
field-ready = Tayari, ndiyo au hapana.
field-choice = Namba ya agizo.
field-case = Namba ya mgonjwa.
field-eyes = Macho gani.
field-purpose = Moja kwa mbali, mbili kwa karibu.
field-right_kind = Jicho la kulia: moja kwa nguvu, mbili kwa lenzi ya usawa, tatu kama hakuna lenzi.
field-right_sphere = Jicho la kulia, sfia.
field-right_cylinder = Jicho la kulia, silinda.
field-right_axis = Jicho la kulia, mhimili.
field-left_kind = Jicho la kushoto: moja kwa nguvu, mbili kwa lenzi ya usawa, tatu kama hakuna lenzi.
field-left_sphere = Jicho la kushoto, sfia.
field-left_cylinder = Jicho la kushoto, silinda.
field-left_axis = Jicho la kushoto, mhimili.
field-pd = Umbali kati ya mboni.
field-right_pd = Kutoka pua hadi mboni ya kulia.
field-left_pd = Kutoka pua hadi mboni ya kushoto.
field-vertex = Lenzi ilikuwa mbali na jicho kiasi gani, au sifuri kama haijaandikwa.
field-read_back = Je, yote ni sahihi, ndiyo au hapana?
field-check_number = Namba ya mfuko.
field-scale = Nukta ziko wapi.
field-depth = Kina cha mfereji.
field-pin = Urefu wa pini.
field-outward = Mviringo nje, ndiyo au hapana.
field-whole = Nzima, ndiyo au hapana.
field-centres = Umbali kati ya vituo.
field-height = Juu kiasi gani.
field-comfortable = Imekaa vizuri, ndiyo au hapana?
field-acuity = Mstari mdogo aliosoma: sita juu ya ngapi?
field-code = Msimbo wa msimamizi.
field-decision = Uamuzi wa msimamizi, ndiyo au hapana.

## What was not accepted, and what to do

refused-acuity_low = Mtu haoni vizuri vya kutosha kwa miwani hii. Msimamizi lazima aangalie.
refused-battery_low = Badilisha kwanza betri ya kikata.
refused-case_missing = Namba ya mgonjwa haipo.
refused-check_number_wrong = Huo si mfuko sahihi. Angalia tena.
refused-chipped = Lenzi hiyo imeharibika. Iweke kando; tunachukua nyingine.
refused-code_wrong = Msimbo huo haujulikani.
refused-confusable = Hiyo inaweza kuwa namba mbili. Sema tena, tarakimu moja moja.
refused-count_wrong = Hesabu hiyo haiwezekani. Hesabu mfuko tena.
refused-distance_wrong = Vituo haviko mahali pake.
refused-height_wrong = Lenzi moja iko juu kuliko nyingine.
refused-needs_sign = Chanya au hasi? Sema alama pia.
refused-not_a_number = Hiyo si namba. Tena.
refused-not_asked = Sijauliza hilo sasa.
refused-not_comfortable = Miwani haikukaa vizuri. Msimamizi lazima aangalie.
refused-not_in_steps = Hatua hiyo haipo kwenye kipimo. Tena.
refused-not_understood = Sikuelewa. Tena.
refused-not_whole = Namba kamili, tafadhali.
refused-nothing_heard = Sikusikia kitu. Tena.
refused-offset_too_large = Kifaa kimekosea sana. Mwite msimamizi.
refused-only_enter = Bonyeza Enter tu.
refused-order_not_right = Basi tunaingiza agizo upya.
refused-order_twice = Agizo hilo tayari linasubiri.
refused-out_of_range = { $low ->
    [none] Namba hiyo haiwezekani. Tena.
   *[other] Namba hiyo haiwezekani: iko kati ya { $low } na { $high }.
}
refused-pin_long = Pini ni ndefu mno. Ikate kidogo na upime tena.
refused-pin_short = Pini ni fupi mno, haishiki. Chukua pini mpya.
refused-prism_too_large = Lenzi mbili hazikai vizuri pamoja mbele ya macho.
refused-reading_fails = Kipimo bado si sahihi. Soma tena.
refused-scale_wrong = Nukta bado haziko hapo. Zungusha lenzi tena.
refused-slot_deep = Mfereji ni wa kina mno. Weka lenzi hii kando; tunachukua nyingine.
refused-slot_shallow = Mfereji si wa kina cha kutosha. Kata kidogo zaidi na upime tena.
refused-sound_missing = Hakuna sauti. Tunaendelea kwa vitufe.
refused-stock_gone = Mfuko ni mtupu. Natafuta lenzi nyingine.
refused-too_long = Ni ndefu mno. Tena.
refused-wrong_frame = Hiyo si fremu niliyoomba.
refused-wrong_length = { $count ->
    [none] Idadi ya tarakimu si sahihi.
   *[other] Nahitaji tarakimu { $count }.
}
refused-wrong_lens = Hiyo si lenzi sahihi. Iweke kando na uangalie mfuko.
refused-yes_or_no = Bonyeza jumlisha kwa ndiyo au toa kwa hapana.

## What probably went wrong

cause-or = Au huenda ni hili:
cause-slot_on_centre_line = Mfereji ulikatwa kwenye mstari wa kati, si kwenye pini.
cause-cut_for_other_eye = Mfereji ulikatwa kwa ajili ya jicho lingine.
cause-lenses_swapped = Lenzi mbili zimebadilishana maduara.
cause-face_down = Lenzi ililazwa upande wa mviringo chini.
cause-plus_axis_dotted = Nukta ziliwekwa kwenye mstari usio sahihi.
cause-scale_misread_ten = Kipimo kilisomwa kumi juu au kumi chini.
cause-digits_confused = Namba moja ilidhaniwa kuwa nyingine inayofanana kwa sauti.
cause-digits_swapped = Tarakimu mbili za namba zilibadilishana nafasi.
cause-sphere_sign = Lenzi ina chanya palipotakiwa hasi, au kinyume.
cause-neighbour_pocket = Lenzi ilitoka mfuko wa kando.
cause-turned_in_rim = Lenzi iligeuka ndani ya duara kwa sababu pini haiishiki.
cause-unknown = Siwezi kusema kilichokosewa.
cause-wrong_frame = { refused-wrong_frame }
cause-distance_wrong = { refused-distance_wrong }
cause-height_wrong = { refused-height_wrong }
cause-prism_too_large = { refused-prism_too_large }

## What would tell two causes apart

ask-scale = Angalia tena alama na nukta kwenye kipima pembe: nukta ziko wapi?
ask-other-eye = Soma lenzi nyingine: je, ina nguvu za jicho hili?
ask-curved-side = Angalia lenzi ndani ya duara: je, upande wa mviringo uko mbele?
ask-dots = Weka lenzi tena kwenye fosimita: je, nukta ziko kwenye mstari uliolala?
ask-pocket = Angalia mfuko uliofungua: je, unaonyesha alama nyingine?
ask-pocket-count = Hesabu lenzi za mifuko ya kando: je, moja imepungua?
ask-pin-in-slot = Angalia pini: je, imeingia vizuri kwenye mfereji?
ask-read-again = Soma lenzi kwenye fosimita mara moja zaidi.

## The way back

rescue-none_needed = Hakuna cha kurekebisha.
rescue-turn_over = Toa lenzi, igeuze, kisha ipachike tena.
rescue-swap_lenses = Toa lenzi zote mbili na uzibadilishe.
rescue-seat_again = Toa lenzi na uipachike tena, pini ndani ya mfereji.
rescue-second_slot = Lenzi inaweza kuokolewa: kata mfereji wa pili ninapoonyesha.
rescue-set_aside = Weka lenzi hii kando. Tunatengeneza nyingine.

## Why the supervisor or the clinician must look

reason-nothing_to_make = Hakuna lenzi iliyoagizwa.
reason-balance_alone = Lenzi ya usawa imeagizwa, lakini hakuna jicho lingine la kulinganisha.
reason-sphere_not_quarter = Sfia haiko katika hatua za robo.
reason-cylinder_not_quarter = Silinda haiko katika hatua za robo.
reason-axis_out_of_range = Mhimili haupo kwenye kipimo.
reason-sphere_signs_differ = Jicho moja lina chanya na lingine hasi.
reason-unequal_powers = Macho mawili yanatofautiana sana.
reason-axes_unlike = Mihimili miwili haiendani.
reason-pd_unusual = Umbali kati ya mboni si wa kawaida.
reason-pd_halves_differ = Nusu mbili za umbali wa mboni zinatofautiana sana.
reason-pd_halves_sum = Nusu za umbali wa mboni hazijumliki sawa.
reason-near_pd_greater = Umbali wa karibu ni mkubwa kuliko wa mbali.
reason-beyond_bank = Nguvu inazidi zilizomo kwenye sanduku.
reason-repeated = Agizo hilohilo limeshatengenezwa leo.
reason-order_impossible = Agizo hili haliwezi kutengenezwa.
reason-no_lens = Hakuna lenzi iliyo karibu vya kutosha.
reason-no_frame = Kwa hesabu hakuna fremu iliyobaki. Kama zipo, msimamizi apange sanduku upya.
reason-prism_too_great = Hakuna fremu inayoweka lenzi vizuri mbele ya macho haya.
reason-rounding_too_great = Kipimo si makini vya kutosha kwa lenzi hii.
reason-substitute = Lenzi kamili haipo; nyingine iko karibu.
reason-not_comfortable = { refused-not_comfortable }
reason-acuity_low = { refused-acuity_low }

question-plan = Je, miwani hii itengenezwe kama ilivyopangwa?
question-help = Msaidizi anaomba msaada.
question-wearer = Mtu bado hajahudumiwa vizuri.
question-stuck = Miwani hii imeshindikana mara kadhaa.

supervisor-asked = Nimemwita msimamizi. Tafadhali subiri.
supervisor-yes = Msimamizi amesema ndiyo. Endelea.
supervisor-no = Msimamizi amesema hapana.
supervisor-code = Msimamizi, ingiza msimbo wako.

## At any time

taken-back = Imerudishwa.
nothing-to-take-back = Hakuna cha kurudisha.
abandoned = Miwani hii imeachwa.
returned = Agizo hili linarudi kwa daktari.
pair-done = Miwani imekamilika. Vizuri sana.
read-back = { $value }, ndiyo?
read-back-empty = Mfuko ni mtupu, ndiyo?
say-again = Tafadhali sema tena.
keypad-offered = Tafadhali tumia vitufe sasa.
sound-off = Sauti imezimwa. Tunaendelea kwa vitufe.
voice-understood = Nakuelewa vizuri. Unaweza kusema majibu yako au kutumia vitufe.
voice-keypad-first = Sikuelewi vya kutosha. Tafadhali tumia vitufe leo.
voice-asked-later = Sikuweza kusikiliza sasa hivi. Tafadhali tumia vitufe. Nitauliza tena baadaye.
numlock = Bonyeza kitufe cha Num Lock mara moja, kisha jaribu tena.
record-disk-full = Diski imejaa, na hilo halikuhifadhiwa. Mwite msimamizi.
record-mended = Umeme ulikatika katikati ya kuingiza. Tafadhali ingiza la mwisho tena.
stock-gone = Mfuko ni mtupu. Natafuta lenzi nyingine.
safety = Vaa kinga ya macho, shika kazi kwenye kishikio, jihadhari na vumbi, na usikate kamwe karibu na mtu. Fuata agizo la daktari na sheria za hapa kuhusu nani anaruhusiwa kutoa miwani. Mtu aliyepoteza kuona ghafla, mwenye maumivu au jicho jekundu aende kliniki.

## Mazoezi

practice-which = Huenda kuna kosa. Bonyeza namba ya picha inayolionyesha, au sifuri kama hakuna.
practice-number = Namba { $count }.
practice-none = Hakuna kosa lililofanyika.
practice-right = Ndiyo, umelipata.
practice-wrong = Hapana, si hilo.
practice-was = Lilikuwa hili.
practice-score = Lenzi: { $count } kati ya tano.
practice-again = Mara nyingine? Jumlisha kwa ndiyo, toa kwa hapana.

## Enrolment

enrol-start = Ninasema neno, kisha unasikia mlio. Baada ya mlio sema neno hilo kama unavyolisema siku zote.
enrol-word = { $value }.
enrol-too_quiet = Sauti ni ndogo. Sema kwa nguvu zaidi.
enrol-too_loud = Sauti ni kubwa mno. Rudi nyuma kidogo.
enrol-noisy = Kuna kelele nyingi hapa. Tafuta mahali penye utulivu.
enrol-too_long = Sema neno hilo moja tu.
enrol-stopped = Tunaishia hapa. Mara nyingine tunaendelea kutoka hapa.
enrol-fitting = Asante. Sasa ninajifunza sauti yako. Subiri tafadhali.
enrol-better = Kuanzia sasa nakuelewa vizuri zaidi.
enrol-as-good = Nakuelewa vizuri.
enrol-not-kept = Sikuweza kujifunza sauti yako vizuri. Nasikiliza kama awali.
