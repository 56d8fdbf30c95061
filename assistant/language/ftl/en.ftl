# English. One message a prompt, spoken and shown. No digits, no signs: figures come in words by themselves.
# A variable's [none] form is used where the program has no such value. How to translate: docs/languages.md

this-eye = { $eye ->
    [left] left eye
   *[right] right eye
}

## The steps, as usually said

step-closed = The day has not been opened yet.
step-helper = Good morning. Press the number of your picture.
step-language = Press the number of your language.
step-sound = Do you hear me? Press plus for yes, minus for no.
step-voice = { $room ->
    [bad] It is too loud here to hear you. Today we use the keypad. Press Enter.
   *[none] Now I find out whether I understand you. Say each number after me.
}
step-zero = Take everything off the focimeter and read the power.
step-reference = Put the test lens on the focimeter and read it.
step-index = Lay the test line along the scale and read where it points.
step-cutter = Is the cutter charged and ready?
step-order = Choose the next order, or zero to key one in.
step-key_order = Key in the order from the paper.
step-plan = { $frame ->
    [none] Look at the plan, then press Enter.
   *[other] Take the frame marked { $frame }, then press Enter.
}
step-fetch = Fetch the lens for the { this-eye } from pocket { $pocket }, and tell me the number on the pocket.
step-read = Put the lens on the focimeter, hollow side down, and read it.
step-dot = Turn the lens until its lines are sharp, and make the three dots.
step-mark = { $setting ->
    [none] This lens may lie any way round: mark the slot where you like, then press Enter.
   *[other] Curved side up: turn the dots to { $setting }, tick the edge at the nose mark, and tell me where the dots lie.
}
step-cut = Glasses on. Cut the slot at the tick, { $depth } deep, and measure it.
step-trim = Trim the pin to { $length }, file the end smooth, and measure it.
step-fit = Put the lens into the rim of the { this-eye }, pin in the slot, and close the screw. Is the lens whole?
step-side = Look at the lens for the { this-eye } in its rim. Is its curved side outwards?
step-check = Put the finished { this-eye } on the focimeter and read it.
step-distance = Measure between the two centres, then how much one is higher.
step-verdict = Look at the result, then press Enter.
step-wearer = Put the spectacles on the wearer. Do they sit well?
step-hand_over = Give the spectacles to the wearer, then press Enter.
step-account = The lens for the { this-eye }: is it still whole?
step-supervisor = Please wait for the supervisor.

## The same, for someone who knows the work

short-step-closed = Day not opened.
short-step-helper = Your picture.
short-step-language = Your language.
short-step-sound = Do you hear me?
short-step-voice = { $room ->
    [bad] Too loud. Keypad.
   *[none] Say each number.
}
short-step-zero = Empty focimeter.
short-step-reference = Test lens.
short-step-index = Test line.
short-step-cutter = Cutter ready?
short-step-order = Next order.
short-step-key_order = Key the order.
short-step-plan = { $frame ->
    [none] The plan.
   *[other] Frame { $frame }.
}
short-step-fetch = { this-eye }, pocket { $pocket }.
short-step-read = Read it.
short-step-dot = Three dots.
short-step-mark = { $setting ->
    [none] Mark anywhere.
   *[other] Dots to { $setting }.
}
short-step-cut = Cut, { $depth }.
short-step-trim = Pin, { $length }.
short-step-fit = Fit it. Lens whole?
short-step-side = Lens of the { this-eye }, curved side out?
short-step-check = Read the { this-eye }.
short-step-distance = Measure the centres.
short-step-verdict = The result.
short-step-wearer = Sits well?
short-step-hand_over = Hand over.
short-step-account = Lens of the { this-eye }, whole?
short-step-supervisor = Wait.

## The same, for a learner

learner-step-closed = The day has not been opened yet. Ask the supervisor to open it.
learner-step-helper = Good morning. Find your own picture on the screen and press the number beside it.
learner-step-language = Listen for your language, and press the number you hear with it.
learner-step-sound = If you hear these words, press plus. If you do not, press minus.
learner-step-voice = { $room ->
    [bad] It is too loud here to hear you. Today we use the keypad, and I go on speaking. Press Enter to go on.
   *[none] Now I find out whether I understand you. You see a number and hear it. After the tone, say it aloud. If you would rather use the keypad, press Enter.
}
learner-step-zero = Take every lens off the focimeter, turn the drum until the picture is sharp, and key in what the drum shows.
learner-step-reference = Lay the test lens on the focimeter with its hollow side down, read its three figures, and key them in one after the other.
learner-step-index = Lay the test line flat on the protractor, straight along the middle line, and key in the figure it points to.
learner-step-cutter = Start the cutter for a moment. If it runs strongly, press plus. If it is weak, press minus.
learner-step-order = Choose the order on top by its number, or press zero to key in an order from paper.
learner-step-key_order = Key in what the clinician wrote, one figure after another. Do not change anything.
learner-step-plan = { $frame ->
    [none] Look at the plan on the screen. If all is clear, press Enter.
   *[other] Take a frame marked { $frame } from the frame box, lay it in front of you, and press Enter.
}
learner-step-fetch = Find pocket { $pocket } on the tray, where the light shows. Take one lens for the { this-eye }. Then tell me the two digits printed on the pocket. If the pocket is empty, say no, or press minus.
learner-step-read = Lay the lens on the focimeter, hollow side down, in the middle. Turn until the lines are sharp, and tell me what you read. Do not guess.
learner-step-dot = Turn the lens until its lines lie level, keep it in the middle, and press the three ink dots.
learner-step-mark = { $setting ->
    [none] This lens is the same all round. Lay it curved side up, tick its edge where you like, then press Enter.
   *[other] Lay the lens on the protractor, curved side up. Turn it until the row of dots lies at { $setting }. Tick the edge at the nose mark. Then read the scale again and tell me where the dots lie.
}
learner-step-cut = Put your safety glasses on and hold the lens in its holder. Nobody stands near. Cut the slot at the tick, { $depth } deep, wipe it, and measure the depth with the gauge.
learner-step-trim = Hold both ends of the pin and cut it to { $length }. File the end smooth, or it will chip the lens. Then measure the pin with the gauge.
learner-step-fit = Open the screw of the rim for the { this-eye }. Lay the lens in, curved side to the front, the pin in the slot. Close the screw gently. Look for chips. Is the lens whole?
learner-step-side = Hold the spectacles facing you, as the wearer would face you. Touch the lens for the { this-eye }. If the curved side is outwards, press plus. If the hollow side is outwards, press minus.
learner-step-check = Lay the finished spectacles on the focimeter with the { this-eye } in the middle, hollow side down. Read the three figures and tell me what you see. Do not guess.
learner-step-distance = Measure with the rule from one lens centre to the other. Then measure how much higher one centre is than the other.
learner-step-verdict = Look at the result. If a part is not right, the picture shows what to do. Press Enter to go on.
learner-step-wearer = Put the spectacles on the wearer gently. Look at the nose and behind the ears. Do they sit well? Then ask for the smallest line the wearer can read.
learner-step-hand_over = Tell the wearer to keep the spectacles clean and to come back if the head hurts. Give them the spectacles, then press Enter.
learner-step-account = This pair is given up. Look at the lens for the { this-eye }. If it is whole, press plus. If it is broken, press minus.
learner-step-supervisor = The supervisor has to decide this. Please wait, and leave everything as it is.

## What is entered

field-done = Press Enter when it is done.
field-picture = Your picture.
field-language = Your language.
field-heard = Yes or no.
field-first = { $number }.
field-second = { field-first }
field-third = { field-first }
field-fourth = { field-first }
field-sphere = The sphere.
field-cylinder = The cylinder.
field-axis = The axis.
field-ready = Ready, yes or no.
field-choice = The number of the order.
field-case = The case number.
field-eyes = Which eyes.
field-purpose = One for far, two for near.
field-right_kind = Right eye: one for a power, two for a balance lens, three for no lens.
field-right_sphere = Right eye, the sphere.
field-right_cylinder = Right eye, the cylinder.
field-right_axis = Right eye, the axis.
field-left_kind = Left eye: one for a power, two for a balance lens, three for no lens.
field-left_sphere = Left eye, the sphere.
field-left_cylinder = Left eye, the cylinder.
field-left_axis = Left eye, the axis.
field-pd = The distance between the pupils.
field-right_pd = From the nose to the right pupil.
field-left_pd = From the nose to the left pupil.
field-vertex = How far the lens stood from the eye, or zero if it is not written.
field-read_back = Is all of it right, yes or no?
field-check_number = The number on the pocket.
field-scale = Where the dots lie.
field-depth = The depth of the slot.
field-pin = The length of the pin.
field-outward = Curved side out, yes or no.
field-whole = Whole, yes or no.
field-centres = The distance between the centres.
field-height = How much higher.
field-comfortable = Do they sit well, yes or no?
field-acuity = The smallest line read: six over what?
field-code = The supervisor's code.
field-decision = The supervisor's decision, yes or no.

## What was not accepted, and what to do

refused-acuity_low = The wearer does not see well enough with these. The supervisor must look.
refused-battery_low = Change the battery of the cutter first.
refused-case_missing = The case number is missing.
refused-check_number_wrong = That is not the right pocket. Look again.
refused-chipped = That lens is lost. Put it aside; we take a new one.
refused-code_wrong = That code is not known.
refused-confusable = That could be two numbers. Say it again, digit by digit.
refused-count_wrong = That count cannot be. Count the pocket again.
refused-distance_wrong = The centres are not where they should be.
refused-height_wrong = One lens sits higher than the other.
refused-needs_sign = Plus or minus? Say the sign as well.
refused-not_a_number = That is not a number. Once more.
refused-not_asked = I did not ask for that just now.
refused-not_comfortable = The spectacles do not sit well. The supervisor must look.
refused-not_in_steps = There is no such step on the scale. Once more.
refused-not_understood = I did not understand. Once more.
refused-not_whole = A whole number, please.
refused-nothing_heard = I heard nothing. Once more.
refused-offset_too_large = The instrument is too far off. Call the supervisor.
refused-only_enter = Only press Enter.
refused-order_not_right = Then we key the order in again.
refused-order_twice = That order is waiting already.
refused-out_of_range = { $low ->
    [none] That number cannot be. Once more.
   *[other] That number cannot be: it lies between { $low } and { $high }.
}
refused-pin_long = The pin is too long. Trim it a little and measure again.
refused-pin_short = The pin is too short to hold. Take a new pin.
refused-prism_too_large = The two lenses do not sit well together before the eyes.
refused-reading_fails = The reading is not right yet. Read once more.
refused-scale_wrong = The dots do not lie there yet. Turn the lens again.
refused-slot_deep = The slot is too deep. Put this lens aside; we take a new one.
refused-slot_shallow = The slot is not deep enough. Cut a little more and measure again.
refused-sound_missing = There is no sound. We go on with the keypad.
refused-stock_gone = The pocket is empty. I look for another lens.
refused-too_long = That is too long. Once more.
refused-wrong_frame = That is not the frame I asked for.
refused-wrong_length = { $count ->
    [none] That is not the right number of digits.
   *[other] I need { $count } digits.
}
refused-wrong_lens = That is not the right lens. Put it aside and look at the pocket.
refused-yes_or_no = Press plus for yes or minus for no.

## What probably went wrong

cause-or = Or it may be this:
cause-slot_on_centre_line = The slot was cut on the middle line, not at the pin.
cause-cut_for_other_eye = The slot was cut for the other eye.
cause-lenses_swapped = The two lenses are in each other's rims.
cause-face_down = The lens lay with the curved side down.
cause-plus_axis_dotted = The dots were made along the wrong line.
cause-scale_misread_ten = The scale was read ten too high or too low.
cause-digits_confused = One number was taken for another that sounds like it.
cause-digits_swapped = Two digits of the number changed places.
cause-sphere_sign = The lens has plus where it should have minus, or the other way.
cause-neighbour_pocket = The lens came from the pocket beside.
cause-turned_in_rim = The lens turned in its rim because the pin does not hold it.
cause-unknown = I cannot tell what went wrong.
cause-wrong_frame = { refused-wrong_frame }
cause-distance_wrong = { refused-distance_wrong }
cause-height_wrong = { refused-height_wrong }
cause-prism_too_large = { refused-prism_too_large }

## What would tell two causes apart

ask-scale = Look at the tick and the dots on the protractor again: where do the dots lie?
ask-other-eye = Read the other lens: does it have the powers of this eye?
ask-curved-side = Look at the lens in its rim: is the curved side in front?
ask-dots = Put the lens on the focimeter again: do the dots lie along its level line?
ask-pocket = Look at the pocket you opened: does it show the other sign?
ask-pocket-count = Count the lenses in the pockets beside: is one missing?
ask-pin-in-slot = Look at the pin: does it reach well into the slot?
ask-read-again = Read the lens on the focimeter once more.

## The way back

rescue-none_needed = Nothing to put right.
rescue-turn_over = Take the lens out, turn it over, and fit it again.
rescue-swap_lenses = Take both lenses out and change them over.
rescue-seat_again = Take the lens out and seat it again with the pin in the slot.
rescue-second_slot = The lens can be saved: cut a second slot where I show you.
rescue-set_aside = Put this lens aside. We make a new one.

## Why the supervisor or the clinician must look

reason-nothing_to_make = No lens is ordered.
reason-balance_alone = A balance lens is ordered, but there is no other eye to match.
reason-sphere_not_quarter = A sphere is not in quarter steps.
reason-cylinder_not_quarter = A cylinder is not in quarter steps.
reason-axis_out_of_range = An axis is not on the scale.
reason-sphere_signs_differ = One eye has plus and the other minus.
reason-unequal_powers = The two eyes are very different.
reason-axes_unlike = The two axes do not go together.
reason-pd_unusual = The distance between the pupils is unusual.
reason-pd_halves_differ = The two halves of the pupil distance are very different.
reason-pd_halves_sum = The halves of the pupil distance do not add up.
reason-near_pd_greater = The near distance is greater than the far one.
reason-beyond_bank = The power is beyond what the case holds.
reason-repeated = The same order was made today already.
reason-order_impossible = This order cannot be made.
reason-no_lens = No lens in the case is near enough.
reason-no_frame = By the book no frame is left. If there are frames, the supervisor packs the case anew.
reason-prism_too_great = No frame puts the lenses well before these eyes.
reason-rounding_too_great = The scale cannot be set finely enough for this lens.
reason-substitute = The exact lens is not in the case; another one is near.
reason-not_comfortable = { refused-not_comfortable }
reason-acuity_low = { refused-acuity_low }

question-plan = Shall this pair be made as planned?
question-help = The helper asks for help.
question-wearer = The wearer is not served well yet.
question-stuck = This pair has failed several times.

supervisor-asked = I have called the supervisor. Please wait.
supervisor-yes = The supervisor says yes. Go on.
supervisor-no = The supervisor says no.
supervisor-code = Supervisor, key in your code.

## At any time

taken-back = Taken back.
nothing-to-take-back = There is nothing to take back.
abandoned = This pair is given up.
returned = This order goes back to the clinician.
pair-done = The pair is finished. Well done.
read-back = { $value }, yes?
read-back-empty = The pocket is empty, yes?
say-again = Please say it again.
keypad-offered = Please use the keypad now.
sound-off = The sound is off. We go on with the keypad.
voice-understood = I understand you well. You may say your answers, or key them.
voice-keypad-first = I do not understand you well enough. Please use the keypad today.
voice-asked-later = I could not listen just now. Please use the keypad. I will ask again later.
numlock = Press the Num Lock key once, then try again.
record-disk-full = The disk is full, and that entry was not kept. Call the supervisor.
record-mended = The power went away in the middle of an entry. Please enter the last one again.
stock-gone = The pocket is empty. I look for another lens.
safety = Wear eye protection, hold the work in its holder, mind the dust, and never cut near the wearer. Follow the prescriber's order and the local rules on who may hand out spectacles. A person with a sudden loss of sight, with pain or with a red eye goes to a clinic.

## Practice

practice-which = Something may be wrong. Press the number of the picture that shows it, or zero if nothing is.
practice-number = Number { $count }.
practice-none = Nothing went wrong.
practice-right = Yes, you found it.
practice-wrong = No, it is not that.
practice-was = It was this.
practice-score = Lenses: { $count } of five.
practice-again = Once more? Press plus for yes, minus for no.

## Enrolment

enrol-start = I say a word, then you hear a tone. After the tone say the word as you always say it.
enrol-word = { $value }.
enrol-too_quiet = Too soft. Louder, please.
enrol-too_loud = Too loud. Move back a little, please.
enrol-noisy = It is too noisy here. Find a quieter place.
enrol-too_long = Only the one word, please.
enrol-stopped = We stop here. Next time we go on from here.
enrol-fitting = Thank you. Now I learn your voice. Please wait.
enrol-better = From now on I understand you better.
enrol-as-good = I understand you well.
enrol-not-kept = I could not learn your voice well enough. I listen as before.
