# Français. Un message par phrase. Ni chiffres ni signes : les nombres viennent en toutes lettres.
# Voir docs/languages.md

this-eye = { $eye ->
    [left] œil gauche
   *[right] œil droit
}

## The steps, as usually said

step-closed = La journée n'est pas encore ouverte.
step-helper = Bonjour. Appuyez sur le numéro de votre image.
step-language = Appuyez sur le numéro de votre langue.
step-sound = M'entendez-vous ? Plus pour oui, moins pour non.
step-voice = { $room ->
    [bad] Il y a trop de bruit ici pour vous entendre. Aujourd'hui nous prenons le clavier. Appuyez sur Entrée.
   *[none] Je regarde maintenant si je vous comprends. Dites chaque nombre après moi.
}
step-zero = Enlevez tout du frontofocomètre et lisez la puissance.
step-reference = Posez le verre d'essai sur le frontofocomètre et lisez-le.
step-index = Posez la ligne d'essai le long de l'échelle et lisez où elle pointe.
step-cutter = La fraise est-elle chargée et prête ?
step-order = Choisissez la prochaine commande, ou zéro pour en saisir une.
step-key_order = Saisissez la commande écrite sur le papier.
step-plan = { $frame ->
    [none] Regardez le plan, puis appuyez sur Entrée.
   *[other] Prenez la monture marquée { $frame }, puis appuyez sur Entrée.
}
step-fetch = Prenez le verre pour l'{ this-eye } dans la poche { $pocket }, et dites-moi le numéro de la poche.
step-read = Posez le verre sur le frontofocomètre, côté creux en bas, et lisez-le.
step-dot = Tournez le verre jusqu'à ce que les lignes soient nettes, et faites les trois points.
step-mark = { $setting ->
    [none] Ce verre peut se poser dans tous les sens : marquez l'encoche où vous voulez, puis appuyez sur Entrée.
   *[other] Côté bombé en haut : tournez les points sur { $setting }, marquez le bord au repère du nez, et dites-moi où sont les points.
}
step-cut = Lunettes de protection. Taillez l'encoche à la marque, profonde de { $depth }, et mesurez-la.
step-trim = Coupez la goupille à { $length }, limez le bout, et mesurez-la.
step-fit = Mettez le verre dans le cercle de l'{ this-eye }, goupille dans l'encoche, et serrez la vis. Le verre est-il entier ?
step-side = Regardez le verre de l'{ this-eye } dans son cercle. Le côté bombé est-il dehors ?
step-check = Posez l'{ this-eye } monté sur le frontofocomètre et lisez-le.
step-distance = Mesurez entre les deux centres, puis de combien l'un est plus haut.
step-verdict = Regardez le résultat, puis appuyez sur Entrée.
step-wearer = Mettez les lunettes à la personne. Tiennent-elles bien ?
step-hand_over = Donnez les lunettes à la personne, puis appuyez sur Entrée.
step-account = Le verre de l'{ this-eye } : est-il encore entier ?
step-supervisor = Attendez le superviseur, s'il vous plaît.

## The same, for someone who knows the work

short-step-closed = Journée non ouverte.
short-step-helper = Votre image.
short-step-language = Votre langue.
short-step-sound = M'entendez-vous ?
short-step-voice = { $room ->
    [bad] Trop de bruit. Clavier.
   *[none] Dites chaque nombre.
}
short-step-zero = Frontofocomètre vide.
short-step-reference = Verre d'essai.
short-step-index = Ligne d'essai.
short-step-cutter = Fraise prête ?
short-step-order = Commande suivante.
short-step-key_order = Saisissez la commande.
short-step-plan = { $frame ->
    [none] Le plan.
   *[other] Monture { $frame }.
}
short-step-fetch = { this-eye }, poche { $pocket }.
short-step-read = Lisez.
short-step-dot = Trois points.
short-step-mark = { $setting ->
    [none] Marquez où vous voulez.
   *[other] Points sur { $setting }.
}
short-step-cut = Encoche, { $depth }.
short-step-trim = Goupille, { $length }.
short-step-fit = Montez. Verre entier ?
short-step-side = Verre de l'{ this-eye }, côté bombé dehors ?
short-step-check = Lisez l'{ this-eye }.
short-step-distance = Mesurez les centres.
short-step-verdict = Le résultat.
short-step-wearer = Tiennent-elles bien ?
short-step-hand_over = Donnez.
short-step-account = Verre de l'{ this-eye }, entier ?
short-step-supervisor = Attendez.

## The same, for a learner

learner-step-closed = La journée n'est pas encore ouverte. Demandez au superviseur de l'ouvrir.
learner-step-helper = Bonjour. Cherchez votre image sur l'écran et appuyez sur le numéro à côté.
learner-step-language = Écoutez votre langue, et appuyez sur le numéro que vous entendez avec elle.
learner-step-sound = Si vous entendez ces mots, appuyez sur plus. Si vous n'entendez pas, appuyez sur moins.
learner-step-voice = { $room ->
    [bad] Il y a trop de bruit ici pour vous entendre. Aujourd'hui nous prenons le clavier, et je continue à parler. Appuyez sur Entrée pour continuer.
   *[none] Je regarde maintenant si je vous comprends. Vous voyez un nombre et vous l'entendez. Après le signal, dites-le à voix haute. Si vous préférez le clavier, appuyez sur Entrée.
}
learner-step-zero = Enlevez tous les verres du frontofocomètre, tournez le tambour jusqu'à ce que l'image soit nette, et saisissez ce que montre le tambour.
learner-step-reference = Posez le verre d'essai sur le frontofocomètre, côté creux en bas, lisez ses trois valeurs, et saisissez-les une à une.
learner-step-index = Posez la ligne d'essai à plat sur le rapporteur, droit le long de la ligne du milieu, et saisissez la valeur où elle pointe.
learner-step-cutter = Faites tourner la fraise un instant. Si elle tourne fort, appuyez sur plus. Si elle est faible, appuyez sur moins.
learner-step-order = Choisissez la commande du haut par son numéro, ou appuyez sur zéro pour saisir une commande du papier.
learner-step-key_order = Saisissez ce que le clinicien a écrit, une valeur après l'autre. Ne changez rien.
learner-step-plan = { $frame ->
    [none] Regardez le plan sur l'écran. Si tout est clair, appuyez sur Entrée.
   *[other] Prenez dans la boîte une monture marquée { $frame }, posez-la devant vous, et appuyez sur Entrée.
}
learner-step-fetch = Cherchez la poche { $pocket } sur le plateau, là où est la lumière. Prenez un verre pour l'{ this-eye }. Puis dites-moi les deux chiffres écrits sur la poche. Si la poche est vide, dites non, ou appuyez sur moins.
learner-step-read = Posez le verre sur le frontofocomètre, côté creux en bas, bien au milieu. Tournez jusqu'à ce que les lignes soient nettes, et dites-moi ce que vous lisez. Ne devinez pas.
learner-step-dot = Tournez le verre jusqu'à ce que ses lignes soient à plat, gardez-le au milieu, et faites les trois points d'encre.
learner-step-mark = { $setting ->
    [none] Ce verre est pareil tout autour. Posez-le côté bombé en haut, marquez le bord où vous voulez, puis appuyez sur Entrée.
   *[other] Posez le verre sur le rapporteur, côté bombé en haut. Tournez-le jusqu'à ce que la rangée de points soit sur { $setting }. Marquez le bord au repère du nez. Puis relisez l'échelle et dites-moi où sont les points.
}
learner-step-cut = Mettez vos lunettes de protection et tenez le verre dans son support. Personne à côté. Taillez l'encoche à la marque, profonde de { $depth }, essuyez-la, et mesurez la profondeur avec la jauge.
learner-step-trim = Tenez les deux bouts de la goupille et coupez-la à { $length }. Limez le bout, sinon il ébrèche le verre. Puis mesurez la goupille avec la jauge.
learner-step-fit = Ouvrez la vis du cercle de l'{ this-eye }. Posez le verre, côté bombé devant, la goupille dans l'encoche. Serrez la vis doucement. Cherchez les éclats. Le verre est-il entier ?
learner-step-side = Tenez les lunettes face à vous, comme si le porteur vous regardait. Touchez le verre de l'{ this-eye }. Si le côté bombé est dehors, appuyez sur plus. Si le côté creux est dehors, appuyez sur moins.
learner-step-check = Posez les lunettes finies sur le frontofocomètre, l'{ this-eye } au milieu, côté creux en bas. Lisez les trois valeurs et dites-moi ce que vous voyez. Ne devinez pas.
learner-step-distance = Mesurez avec la règle du centre d'un verre au centre de l'autre. Puis mesurez de combien un centre est plus haut que l'autre.
learner-step-verdict = Regardez le résultat. Si quelque chose ne va pas, l'image montre quoi faire. Appuyez sur Entrée pour continuer.
learner-step-wearer = Mettez les lunettes à la personne, doucement. Regardez le nez et derrière les oreilles. Tiennent-elles bien ? Puis demandez la plus petite ligne que la personne peut lire.
learner-step-hand_over = Dites à la personne de garder les lunettes propres et de revenir si elle a mal à la tête. Donnez-lui les lunettes, puis appuyez sur Entrée.
learner-step-account = Cette paire est abandonnée. Regardez le verre de l'{ this-eye }. S'il est entier, appuyez sur plus. S'il est cassé, appuyez sur moins.
learner-step-supervisor = C'est au superviseur de décider. Attendez, s'il vous plaît, et laissez tout en place.

## What is entered

field-done = Appuyez sur Entrée quand c'est fait.
field-picture = Votre image.
field-language = Votre langue.
field-heard = Oui ou non.
field-first = { $number }.
field-second = { field-first }
field-third = { field-first }
field-fourth = { field-first }
field-sphere = La sphère.
field-cylinder = Le cylindre.
field-axis = L'axe.
field-ready = Prête, oui ou non.
field-choice = Le numéro de la commande.
field-case = Le numéro du dossier.
field-eyes = Quels yeux.
field-purpose = Un pour loin, deux pour près.
field-right_kind = Œil droit : un pour une puissance, deux pour un verre d'équilibre, trois pour aucun verre.
field-right_sphere = Œil droit, la sphère.
field-right_cylinder = Œil droit, le cylindre.
field-right_axis = Œil droit, l'axe.
field-left_kind = Œil gauche : un pour une puissance, deux pour un verre d'équilibre, trois pour aucun verre.
field-left_sphere = Œil gauche, la sphère.
field-left_cylinder = Œil gauche, le cylindre.
field-left_axis = Œil gauche, l'axe.
field-pd = L'écart entre les pupilles.
field-right_pd = Du nez à la pupille droite.
field-left_pd = Du nez à la pupille gauche.
field-vertex = La distance du verre à l'œil, ou zéro si elle n'est pas écrite.
field-read_back = Est-ce que tout est juste, oui ou non ?
field-check_number = Le numéro de la poche.
field-scale = Où sont les points.
field-depth = La profondeur de l'encoche.
field-pin = La longueur de la goupille.
field-outward = Côté bombé dehors, oui ou non.
field-whole = Entier, oui ou non.
field-centres = La distance entre les centres.
field-height = De combien plus haut.
field-comfortable = Tiennent-elles bien, oui ou non ?
field-acuity = La plus petite ligne lue : six sur combien ?
field-code = Le code du superviseur.
field-decision = La décision du superviseur, oui ou non.

## What was not accepted, and what to do

refused-acuity_low = La personne ne voit pas assez bien avec ces lunettes. Le superviseur doit regarder.
refused-battery_low = Changez d'abord la batterie de la fraise.
refused-case_missing = Il manque le numéro du dossier.
refused-check_number_wrong = Ce n'est pas la bonne poche. Regardez encore.
refused-chipped = Ce verre est perdu. Mettez-le de côté ; nous en prenons un neuf.
refused-code_wrong = Ce code n'est pas connu.
refused-confusable = Cela peut être deux nombres. Redites-le, chiffre par chiffre.
refused-count_wrong = Ce compte n'est pas possible. Recomptez la poche.
refused-distance_wrong = Les centres ne sont pas à leur place.
refused-height_wrong = Un verre est plus haut que l'autre.
refused-needs_sign = Signe plus ou signe moins ? Dites aussi le signe.
refused-not_a_number = Ce n'est pas un nombre. Encore une fois.
refused-not_asked = Je n'ai pas demandé cela maintenant.
refused-not_comfortable = Les lunettes ne tiennent pas bien. Le superviseur doit regarder.
refused-not_in_steps = Ce pas n'existe pas sur l'échelle. Encore une fois.
refused-not_understood = Je n'ai pas compris. Encore une fois.
refused-not_whole = Un nombre entier, s'il vous plaît.
refused-nothing_heard = Je n'ai rien entendu. Encore une fois.
refused-offset_too_large = L'appareil est trop décalé. Appelez le superviseur.
refused-only_enter = Appuyez seulement sur Entrée.
refused-order_not_right = Alors nous saisissons la commande de nouveau.
refused-order_twice = Cette commande attend déjà.
refused-out_of_range = { $low ->
    [none] Ce nombre n'est pas possible. Encore une fois.
   *[other] Ce nombre n'est pas possible : il est entre { $low } et { $high }.
}
refused-pin_long = La goupille est trop longue. Coupez-la un peu et mesurez encore.
refused-pin_short = La goupille est trop courte pour tenir. Prenez une goupille neuve.
refused-prism_too_large = Les deux verres ne vont pas bien ensemble devant les yeux.
refused-reading_fails = La lecture n'est pas encore juste. Lisez encore une fois.
refused-scale_wrong = Les points n'y sont pas encore. Tournez encore le verre.
refused-slot_deep = L'encoche est trop profonde. Mettez ce verre de côté ; nous en prenons un neuf.
refused-slot_shallow = L'encoche n'est pas assez profonde. Taillez encore un peu et mesurez encore.
refused-sound_missing = Il n'y a pas de son. Nous continuons avec le clavier.
refused-stock_gone = La poche est vide. Je cherche un autre verre.
refused-too_long = C'est trop long. Encore une fois.
refused-wrong_frame = Ce n'est pas la monture que j'ai demandée.
refused-wrong_length = { $count ->
    [none] Ce n'est pas le bon nombre de chiffres.
   *[other] Il me faut { $count } chiffres.
}
refused-wrong_lens = Ce n'est pas le bon verre. Mettez-le de côté et regardez la poche.
refused-yes_or_no = Appuyez sur plus pour oui ou sur moins pour non.

## What probably went wrong

cause-or = Ou bien ceci :
cause-slot_on_centre_line = L'encoche a été taillée sur la ligne du milieu, pas à la goupille.
cause-cut_for_other_eye = L'encoche a été taillée pour l'autre œil.
cause-lenses_swapped = Les deux verres sont échangés dans les cercles.
cause-face_down = Le verre était posé côté bombé en bas.
cause-plus_axis_dotted = Les points ont été faits le long de la mauvaise ligne.
cause-scale_misread_ten = L'échelle a été lue dix trop haut ou trop bas.
cause-digits_confused = Un nombre a été pris pour un autre qui sonne pareil.
cause-digits_swapped = Deux chiffres du nombre ont changé de place.
cause-sphere_sign = Le verre a plus là où il faut moins, ou l'inverse.
cause-neighbour_pocket = Le verre vient de la poche d'à côté.
cause-turned_in_rim = Le verre a tourné dans son cercle parce que la goupille ne le tient pas.
cause-unknown = Je ne peux pas dire ce qui s'est passé.
cause-wrong_frame = { refused-wrong_frame }
cause-distance_wrong = { refused-distance_wrong }
cause-height_wrong = { refused-height_wrong }
cause-prism_too_large = { refused-prism_too_large }

## What would tell two causes apart

ask-scale = Regardez encore la marque et les points sur le rapporteur : où sont les points ?
ask-other-eye = Lisez l'autre verre : a-t-il les puissances de cet œil ?
ask-curved-side = Regardez le verre dans son cercle : le côté bombé est-il devant ?
ask-dots = Reposez le verre sur le frontofocomètre : les points sont-ils le long de la ligne à plat ?
ask-pocket = Regardez la poche ouverte : montre-t-elle l'autre signe ?
ask-pocket-count = Comptez les verres des poches d'à côté : en manque-t-il un ?
ask-pin-in-slot = Regardez la goupille : entre-t-elle bien dans l'encoche ?
ask-read-again = Lisez encore une fois le verre sur le frontofocomètre.

## The way back

rescue-none_needed = Rien à corriger.
rescue-turn_over = Sortez le verre, retournez-le, et remontez-le.
rescue-swap_lenses = Sortez les deux verres et échangez-les.
rescue-seat_again = Sortez le verre et remettez-le, la goupille dans l'encoche.
rescue-second_slot = On peut sauver le verre : taillez une deuxième encoche là où je montre.
rescue-set_aside = Mettez ce verre de côté. Nous en faisons un neuf.

## Why the supervisor or the clinician must look

reason-nothing_to_make = Aucun verre n'est commandé.
reason-balance_alone = Un verre d'équilibre est commandé, mais il n'y a pas d'autre œil à égaler.
reason-sphere_not_quarter = Une sphère n'est pas en pas d'un quart.
reason-cylinder_not_quarter = Un cylindre n'est pas en pas d'un quart.
reason-axis_out_of_range = Un axe n'existe pas sur l'échelle.
reason-sphere_signs_differ = Un œil a plus et l'autre moins.
reason-unequal_powers = Les deux yeux sont très différents.
reason-axes_unlike = Les deux axes ne vont pas ensemble.
reason-pd_unusual = L'écart entre les pupilles est inhabituel.
reason-pd_halves_differ = Les deux moitiés de l'écart des pupilles sont très différentes.
reason-pd_halves_sum = Les moitiés de l'écart des pupilles ne font pas le total.
reason-near_pd_greater = L'écart de près est plus grand que celui de loin.
reason-beyond_bank = La puissance dépasse ce que la mallette contient.
reason-repeated = La même commande a déjà été faite aujourd'hui.
reason-order_impossible = Cette commande ne peut pas se faire.
reason-no_lens = Aucun verre de la mallette n'est assez proche.
reason-no_frame = D'après les comptes, il ne reste plus de monture. S'il y en a, le superviseur refait la mallette.
reason-prism_too_great = Aucune monture ne place bien les verres devant ces yeux.
reason-rounding_too_great = L'échelle n'est pas assez fine pour ce verre.
reason-substitute = Le verre exact n'est pas dans la mallette ; un autre est proche.
reason-not_comfortable = { refused-not_comfortable }
reason-acuity_low = { refused-acuity_low }

question-plan = Faut-il faire cette paire comme prévu ?
question-help = L'assistant demande de l'aide.
question-wearer = La personne n'est pas encore bien servie.
question-stuck = Cette paire a échoué plusieurs fois.

supervisor-asked = J'ai appelé le superviseur. Attendez, s'il vous plaît.
supervisor-yes = Le superviseur dit oui. Continuez.
supervisor-no = Le superviseur dit non.
supervisor-code = Superviseur, saisissez votre code.

## At any time

taken-back = C'est annulé.
nothing-to-take-back = Il n'y a rien à annuler.
abandoned = Cette paire est abandonnée.
returned = Cette commande retourne chez le clinicien.
pair-done = La paire est finie. Bravo.
read-back = { $value }, oui ?
read-back-empty = La poche est vide, oui ?
say-again = Répétez, s'il vous plaît.
keypad-offered = Utilisez maintenant le clavier, s'il vous plaît.
sound-off = Le son est coupé. Nous continuons avec le clavier.
voice-understood = Je vous comprends bien. Vous pouvez dire vos réponses ou les taper.
voice-keypad-first = Je ne vous comprends pas assez bien. Prenez le clavier aujourd'hui, s'il vous plaît.
voice-asked-later = Je n'ai pas pu écouter à l'instant. Prenez le clavier, s'il vous plaît. Je redemanderai plus tard.
numlock = Appuyez une fois sur la touche Verr Num, puis réessayez.
record-disk-full = Le disque est plein, et cette valeur n'a pas été gardée. Appelez le superviseur.
record-mended = Le courant a manqué au milieu d'une valeur. Saisissez encore la dernière, s'il vous plaît.
stock-gone = La poche est vide. Je cherche un autre verre.
safety = Protégez vos yeux, tenez la pièce dans son support, attention à la poussière, et ne taillez jamais près de la personne. Suivez la commande du prescripteur et les règles locales sur qui peut donner des lunettes. Une personne qui perd soudain la vue, qui a mal ou qui a l'œil rouge va à la clinique.

## Exercice

practice-which = Il y a peut-être une faute. Appuyez sur le numéro de l'image qui la montre, ou zéro s’il n'y en a pas.
practice-number = Numéro { $count }.
practice-none = Aucune faute n'a été faite.
practice-right = Oui, vous l'avez trouvée.
practice-wrong = Non, ce n'est pas cela.
practice-was = C'était ceci.
practice-score = Verres : { $count } sur cinq.
practice-again = Encore une fois ? Plus pour oui, moins pour non.

## Enrolment

enrol-start = Je dis un mot, puis vous entendez un signal. Après le signal, dites le mot comme vous le dites toujours.
enrol-word = { $value }.
enrol-too_quiet = Trop bas. Plus fort, s'il vous plaît.
enrol-too_loud = Trop fort. Reculez un peu, s'il vous plaît.
enrol-noisy = Il y a trop de bruit ici. Cherchez un endroit plus calme.
enrol-too_long = Seulement ce mot, s'il vous plaît.
enrol-stopped = Nous arrêtons ici. La prochaine fois, nous continuons d'ici.
enrol-fitting = Merci. Maintenant j'apprends votre voix. Attendez, s'il vous plaît.
enrol-better = À partir de maintenant, je vous comprends mieux.
enrol-as-good = Je vous comprends bien.
enrol-not-kept = Je n'ai pas assez bien appris votre voix. J'écoute comme avant.
