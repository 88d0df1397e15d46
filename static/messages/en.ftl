## language
language-name = English
language-label = Language
decimal-sign = .
as-it-is = { $text }
signal-danger = DANGER
signal-warning = WARNING
signal-caution = CAUTION

## job
refused = That does not work.
job-day-check = Equipment check
job-line = { $settled } of { $of } steps settled. Open the list of steps.
job-section-shared = { $title } · for { $count ->
    [2] both
   *[other] all { $count }
} calibrations
job-count = Step { $n } of { $of }
job-next = Next: { $what }
job-is-finished = This job is finished.
job-is-abandoned = This job was abandoned.
job-kept = with the shop
job-stale = That page was drawn earlier. Nothing was changed; here is the step at hand.
job-unanswered = There was no answer, so it is not known whether that was kept. What you typed is still here: send it again. It never counts twice.
job-send-again = Send it again
step-why = Why this matters
step-mistakes = Usual mistakes
step-aloud = Read aloud
step-full = In full
step-choose-short = Read this part in short
step-choose-full = Read this part in full
step-again = done anew
step-here = you are here
step-done = done
step-held = waits for a countersign
step-left-undone = left undone
step-open = to do
step-undone = undone { $count ->
    [one] once
   *[other] { $count } times
}
steps-title = All steps
button-back = Back
button-steps = Steps
button-pause = Pause
button-trouble = Wrong?
button-more = More
button-to-step = To the step at hand
button-all-steps = All steps
button-today = Today
button-record = Open the record
button-confirm = Done
button-photo = Take the photo
button-start-wait = Start the { $time } wait
button-waited = Waited
button-countersign = Countersign
button-accept = Accept
button-result-done = Scan tool says: done
button-scan = Scan with camera
button-measure = Check the readings
button-moved = Put right: measure again
button-repeat = Measure again
button-resume = Go on
button-finish = Finish the job
choose-blocked = Not yet
scan-spot = spot
scan-target = target
scan-state = scanned
scan-placed = placed
scan-waiting = waiting
scan-read = Read:
scan-field = Label: scan it, or type what stands beneath the code
scan-read-button = Read
scan-holding = In hand: { $label }
scan-match = Match
scan-wrong-target = Wrong target
scan-right-target-wrong-spot = Right target, wrong spot
scan-already-placed = Already placed
scan-not-part-of-this-job = Not part of this job
scan-out-of-service = Out of service
scan-label-of-another-kind = Label of another kind
scan-not-one-of-our-labels = Not one of our labels
scan-unreadable = Unreadable
scan-next-scan-again = Wipe the label, hold the phone square to it and scan again, or type the text beneath it.{ $wanted ->
    [none] { "" }
   *[other] { " " }Wanted: { $wanted }.
}
scan-next-not-ours = This is no label of this shop. Scan the shop's own label on the target or the spot.{ $wanted ->
    [none] { "" }
   *[other] { " " }Wanted: { $wanted }.
}
scan-next-not-in-kit = { $scanned } is not in the shop's kit. Add it on the kit page, or use one that is.{ $wanted ->
    [none] { "" }
   *[other] { " " }Wanted: { $wanted }.
}
scan-next-other-kind = That is { $kind ->
    [target] a target's label
    [spot] a spot's label
    [bay] a bay's label
    [badge] a person's badge
    [test-label] the test label
   *[other] another kind of label
}.{ $wanted ->
    [none] { "" }
   *[other] { " " }Scan { $wanted }.
}
scan-next-take-target = { $scanned } does not belong here. Put it aside{ $wanted ->
    [none] .
   *[other] {" "}and take { $wanted }.
}
scan-next-scan-spot = { $target } is the right one. Now scan its spot: { $spot }.
scan-next-scan-target = { $spot } is the right spot. Now scan { $target }.
scan-next-leave-spot = { $scanned } has no part in this step.{ $wanted ->
    [none] { "" }
   *[other] { " " }Scan { $wanted }.
}
scan-next-move-target = { $target } belongs on { $spot }. You scanned { $here }. Move it there, then scan the spot.
scan-next-swap-targets = { $target } belongs on { $spot }; { $here } takes { $other }. Swap the two, then scan both again.
scan-next-all-placed = Every target is in its spot.
scan-next-next-pair = { $left } still to place. Next: { $wanted }.
scan-next-already-placed = { $where ->
    [none] { $scanned } has been read already.
   *[other] { $scanned } is on { $where } already.
}{ $wanted ->
    [none] { "" }
   *[other] { " " }Next: { $wanted }.
}
scan-next-put-back = { $scanned } is not needed for this job. Put it back.{ $wanted ->
    [none] { "" }
   *[other] { " " }Take { $wanted }.
}
scan-next-replace = { $why ->
    [overdue] The inspection of { $scanned } is overdue.
   *[other] { $scanned } is marked as damaged.
} Do not use it.{ $instead ->
    [none] { " " }Ask the supervisor for another.
   *[other] { " " }Take { $instead } instead.
}
verdict-inside = Inside
verdict-recorded = Kept
verdict-outside = Outside
verdict-too-close-to-call = Too close to call
verdict-does-not-fit = These four do not fit together
verdict-read-again = Kept for the mean
verdict-short-inside = inside
verdict-short-recorded = kept
verdict-short-outside = outside
verdict-short-too-close-to-call = too close to call
verdict-short-read-again = kept for the mean
measure-repeat = Reading no. { $count } of the same thing: the mean will count.
measure-misfit = The misfit is { $misfit }; more than 6.6 means that one tape was misread. Measure all four again.
measure-odd-one = The odd one out was: { $tape }.
measure-odd-first-set-fits = Both sets fit together; no tape is the odd one.
measure-odd-no-single-tape = No single tape explains the misfit: more than one was misread, or the stand moved in between.
measure-odd-more-than-one-tape = The misfit could lie with more than one tape; only another set can tell which.
measure-odd-of-two = Of two readings that differ, nobody can say which is the odd one; a third can.
measure-odd-none = None of the readings stands apart from the others (Grubbs’ test, 1 %).
measure-left-out = { $label }: reading no. { $no }, { $value } { $unit }, stands apart from the others and is left out (Grubbs’ test, 1 %). See whether it was misread.
button-read-again = Keep, and read once more for the mean
measure-track = Worked out with the hub marks { $length } apart, as measured in this job.
measure-so-far = So far: { $values }
instrument-tape = Tape
instrument-scale = Scale
instrument-plumb-bob = Plumb bob
instrument-inclinometer = Inclinometer
instrument-distance-meter = Laser distance meter
instrument-tyre-gauge = Tyre gauge
instrument-light-meter = Light meter
instrument-named = { $name } ({ $code })
instrument-due = { $name } ({ $code }), inspect by { $day }
instrument-none = None of the kit: the usual figures
instrument-unfit = None of the kit is fit for use today.
part-mean = mean of { $count }, s = { $s } { $unit }
repeats-none = Repeating will not settle it: a better method is needed, or a supervisor decides.
repeats-settle = { $count ->
    [one] One reading more
   *[other] { $count } readings more
} with this mean would settle it.
repeats-unknown = Measure again: a second reading shows how far readings scatter.
limits-between = { $low } to { $high } { $unit }
limits-at-most = at most { $value } { $unit }
limits-at-least = at least { $value } { $unit }
part = measured
part-value = value ± U
part-distance-mm = Distance
part-offset-mm = Offset to the left
part-yaw-deg = Turn to the left
part-along-mm-per-m = Fall along
part-across-mm-per-m = Fall across
part-residual-mm = Largest bump
part-thrust-deg = Thrust to the right
reading-left-left = left hub – left mark
reading-right-right = right hub – right mark
reading-left-right = left hub – right mark
reading-right-left = right hub – left mark
reading-front-left-x = front left, along
reading-front-left-y = front left, across
reading-front-right-x = front right, along
reading-front-right-y = front right, across
reading-rear-left-x = rear left, along
reading-rear-left-y = rear left, across
reading-rear-right-x = rear right, along
reading-rear-right-y = rear right, across
reading-tyre-front-left = beside the tyre, front left
reading-tyre-front-right = beside the tyre, front right
reading-tyre-rear-left = beside the tyre, rear left
reading-tyre-rear-right = beside the tyre, rear right
floor-reads = Should read { $length }.
floor-lies = { $way ->
    [lower] The floor lies { $fall } lower here than the plane the tyres stand on (U = { $U }); that is allowed for.
    [higher] The floor lies { $fall } higher here than the plane the tyres stand on (U = { $U }); that is allowed for.
   *[level] The floor here lies level with the plane the tyres stand on (U = { $U }).
}
floor-not-surveyed = This floor was not surveyed from the tyres: nothing is allowed for.
reading-toe-left = left rear toe
reading-toe-right = right rear toe
advice-turn = Turn: left end { $length } { $left_end ->
    [away] away from the vehicle, right end as much nearer
   *[nearer] nearer to the vehicle, right end as much away
}
advice-slide = Slide it { $length } to the { $to ->
    [left] left
   *[right] right
}
advice-move = Move it { $length } { $to ->
    [nearer] nearer to the vehicle
   *[farther] away from the vehicle
}
advice-measure-again = Measure all four tapes again, one person at each end.
expect = Then the tapes read:
overrule = Supervisor: let it stand
overrule-reason = Why it may stand
overrule-button = Let it stand
witness-badge = Supervisor's badge: scan it
witness-pin = Supervisor's PIN
hold = Hold point
hold-why = A supervisor looks at this before you go on.
hold-photo = Photo of this step
ask-open = Ask a supervisor's phone
ask-show = Show this code to the supervisor: their phone scans it, on their Today page.
ask-wait = They look and answer. Then scan the code that their phone shows.
ask-scan = Scan the answer
ask-photo = Photograph the answer
code-picture = Code for another phone
vouch-open = Scan a colleague's code
vouch-title = Vouch by code
vouch-lead = Your colleague's phone shows a code at the step that waits. No network is needed.
vouch-scan = Scan the code
vouch-photo = Photograph the code
vouch-who = Only a supervisor or manager answers here, on the phone that they began with badge and PIN.
vouch-cut = Not everything fits into the code. Look at the rest on your colleague's phone.
vouch-accepted = Accepted
vouch-returned = Sent back
vouch-show = Hold this code to your colleague's phone: it counts once that phone has scanned it.
vouch-next = Scan another code
vouch-unpaired = Only a paired phone answers a colleague's code. Pair this one first, or open the job here.
return-open = Send it back
return-reason = What is to be done again, and why
return-button = Send it back
returned = Sent back by a supervisor
photo-send = Send the photo
result-failed = The scan tool says: failed
result-failures = { $count ->
    [one] First failed run.
   *[other] { $count } failed runs.
}
result-causes = Find the cause before a second try. Most likely first:
result-say-failed = The scan tool says: failed
result-say-not-run = It could not be run
result-code = Code, as the scan tool shows it
result-text = What the scan tool says
result-reason = Why it was not run
result-failed-button = Keep the failed run
result-not-run-button = Keep: not run
trouble-title = What is wrong?
trouble-no-causes = No known causes at this step. Say what you see; it goes on the record.
cause-odds = { $likely ->
    [often] Often
    [sometimes] Sometimes
   *[seldom] Seldom
} the cause. The check takes { $time }.
trouble-back = Go back to:
trouble-found = This was it
trouble-other = Something else
trouble-keep = Keep it on the record
pause-title = Why do you pause?
pause-why = The time of the step stands still until you go on.
pause-parts = Waiting for parts
pause-customer = Customer
pause-other-job = Another job
pause-break = Break
pause-equipment = Equipment
paused-title = Paused
more-title = More
more-note = Note
more-signals = Sound and vibration on this phone: short for a good scan, long and twice for a bad one
more-note-button = Keep the note
more-leave = This step cannot be done
more-leave-why = It stays open on the record, and a supervisor must agree before the job is finished.
more-leave-button = Leave it undone
more-abandon = Abandon the job
more-abandon-why = What was done stays on the record. Assistance functions may act unexpectedly until they are calibrated: tell the customer, in writing.
more-abandon-button = Abandon the job
more-reason = Reason
undo-reason = Why is it undone?
undo-button = Undo this step
finish-title = Everything is settled
finish-clear = Nothing is left open
finish-clear-text = Every step is done. Finish, and the record is made.
finish-open = Left open
finish-open-text = Go back and do it, or have a supervisor agree that it stays open.
finish-waits = The job waits
finish-waits-shop = { $count ->
    [one] A countersign is still to be checked by the shop. Go where the shop can be reached; then the job can be finished.
   *[other] { $count } countersigns are still to be checked by the shop. Go where the shop can be reached; then the job can be finished.
}
finish-waits-wrong = { $count ->
    [one] A countersign did not hold. Undo that step and have it countersigned anew.
   *[other] { $count } countersigns did not hold. Undo those steps and have them countersigned anew.
}
finish-waits-phone = The shop has not heard yet who had begun the supervisor's phone. It goes on once that phone has reached the shop.
open-left-undone = left undone
open-not-run = not run
outcome-done = scan tool: done
outcome-failed = scan tool: failed
outcome-not-run = not run
fact-option = Answer: { $option }
fact-placed = { $target } on { $spot }
fact-countersigned = Countersigned by { $by }

## apart
apart-count = { $count ->
    [one] One thing to look at
   *[other] { $count } things to look at
} on this job
apart-same-step = Two phones worked this step without knowing of each other. Both are kept; the later one counts.
apart-job-ended = This was done after another phone had ended the job. It is kept, and changes nothing.
apart-ended-open = The job was finished on one phone, unheard of what was done here on another. The step is open, and the job counts as finished.
apart-decided = The shop's server, deciding again, came out otherwise: { $what }.
apart-answer = What the supervisor's phone answered did not hold. Have the step countersigned again.
apart-answer-waits = The shop has not heard yet who had begun the supervisor's phone. It looks again once that phone has reached the shop.
apart-pin = The supervisor's PIN did not hold. Have the step countersigned again.
apart-sign-in = Begun with a wrong PIN: from here on this phone's work may be somebody else's.
apart-sheet-made = The phone made its sheet from other procedures than the server has now. The job goes by the phone's sheet.
apart-chain = What this phone recorded here does not follow on what it recorded before: something was left out, put in or changed on it. A manager looks into it.
apart-by-phone = The phone
apart-by-server = The server
apart-by-nobody = Without a badge
apart-did = { $detail ->
    [none] { $what }
   *[other] { $what }: { $detail }
}
apart-did-confirmed = done
apart-did-chosen = answered
apart-did-scanned = scanned
apart-did-measured = measured
apart-did-overruled = let a reading stand
apart-did-photographed = photo taken
apart-did-wait-started = wait started
apart-did-waited = waited
apart-did-countersigned = countersigned
apart-did-returned = sent back
apart-did-resulted = scan tool's outcome
apart-did-left-undone = left undone
apart-did-undone = undone
apart-did-troubled = something was wrong
apart-did-started = job started
apart-did-paused = paused
apart-did-resumed = gone on
apart-did-noted = note
apart-did-finished = job finished
apart-did-abandoned = job abandoned

## pages
nav-label = Pages
nav-today = Today
nav-times = Times
nav-kit = Kit
nav-people = People
nav-phones = Phones
nav-shops = Shops
nav-no-badge = no badge scanned
nav-unchecked = { $name }, PIN to be checked
refused-back = Back

## again
again-title = Send it once more
again-why = This form is too old, or was not made for this browser. Nothing was done. Look at what it says; if you filled it in yourself, send it again.
again-send = Send again
again-pin = PIN, once more
again-file = The photo or file, once more
upload-too-large = What was sent is too large. A photo may have 25 MB: take it again at a lower resolution, or type what it shows.
page-unknown = There is no page { $path } here; the Today page leads to all of them.
page-other-way = { $path } takes a form from its own page and cannot be opened by itself; the Today page leads to it.
page-not-understood = What was sent could not be read, and nothing was kept. Open the page again and repeat it.
page-broken = Something went wrong in Baybook itself. Either all of what you sent was kept or nothing of it: open the page again and look, then repeat it if need be. If it happens again, tell whoever looks after the shop's computer that it was at { $at }; the log says more.

## camera
camera-title = Camera
camera-open = Camera
camera-still = Photograph the label
camera-starting = Starting the camera …
camera-looking = Looking for the code
camera-several = More than one code in sight. Bring one alone into the frame.
camera-other = A code, but not the one that is asked for
camera-reading = Reading the photo …
camera-shooting = Take a photo with one code in it.
camera-unread = No code to be read in the photo. Come closer, keep it sharp and without glare, or type the text.
camera-refused = Baybook may not use the camera. Allow it in the phone's settings for this app, take a photo, or type the text.
camera-none = This phone shows no camera. Take a photo, or type the text.
camera-busy = The camera does not start: another app may hold it. Close that app and try again, take a photo, or type the text.
camera-black = No picture comes, or it is all black. Is the lens covered? Try again; else take a photo, or type the text.
camera-undecoded = The code reader is not on this phone yet, and the shop cannot be reached. Type the text.
camera-torch = Lamp
camera-again = Try again
camera-photo = Take a photo
camera-close = Close the camera
camera-insecure = A live camera picture needs the shop's HTTPS address. Here a photo, a scanner or typing will do.

## labels
labels-sheet-title = Baybook labels
labels-sheet-check = Measure this: { $length } mm. If it is not, print again at 100 %, without fitting to the page.
labels-sheet-about = Labels { $size } mm · page { $page } of { $pages }
labels-title = Labels
labels-lead = Choose what to print a label for. The sheet is A4 at true size; print it at 100 %, on matt stock: gloss throws the light back and hides the code.
labels-size = Size
labels-size-50 = 50 mm, read from arm’s length
labels-size-90 = 90 mm, read from two metres
labels-all-of-kind = { $kind ->
    [target] All { $count } targets
    [spot] All { $count } spots
    [bay] All { $count } bays
    [test-label] The test label
   *[badge] All { $count } badges
}
labels-print = Make the sheet
labels-code-of = QR code of the label of { $name }

## kit
kit-title = Kit
kit-add = Add to the kit
kit-add-button = Add it
kit-back = All of the kit
kit-print-labels = Print labels
kit-print-label = Print this label
kit-label = Its label
kit-empty = Nothing is in the kit yet. Add the bays, the spots and the targets; then print their labels.
kit-out-of-service = { $count ->
    [one] One thing must not be used
   *[other] { $count } things must not be used
}
kit-kind-target = Target
kit-kind-spot = Spot
kit-kind-bay = Bay
kit-kind-test-label = Test label
kit-kind-tool = Tool
kit-kinds-target = Targets
kit-kinds-spot = Spots
kit-kinds-bay = Bays
kit-kinds-test-label = Test labels
kit-kinds-tool = Tools
kit-kinds-badge = Badges
kit-a-bay = Bay
kit-a-tool = Another tool, without a label
kit-accuracy = For an instrument: how sure it is
kit-accuracy-help = As its class or its certificate says. A tape of accuracy class II: 0.3 and 0.2 for each metre. Left empty, the usual figures count.
kit-accuracy-none = How sure it is, is not stated: the usual figures count.
kit-shape = The figure is
kit-shape-rectangular = the largest error (class, data sheet)
kit-shape-triangular = the largest error, rarely reached
kit-shape-expanded = the expanded uncertainty U (certificate)
kit-half-width = ± largest error, or U
kit-per-m = and for each metre
kit-k = k, for U
kit-sure-rectangular = Good to ± { $half_width } { $unit }{ $per_m ->
    [0] {""}
   *[other] , and { $per_m } { $unit } more for each metre
 }.
kit-sure-triangular = Good to ± { $half_width } { $unit }, rarely reached{ $per_m ->
    [0] {""}
   *[other] , and { $per_m } { $unit } more for each metre
 }.
kit-sure-expanded = U = { $half_width } { $unit } (k = { $k }) by its certificate{ $per_m ->
    [0] {""}
   *[other] , and { $per_m } { $unit } more for each metre
 }.
kit-good = in service
kit-due-soon = inspection due soon
kit-overdue = inspection overdue
kit-damaged = damaged
kit-due-on = inspect by { $day }
kit-no-inspection = no inspection date
kit-lives = lives: { $where }
kit-no-home = nowhere in particular
kit-what = What it is
kit-what-help = The procedures ask for targets and spots by these names.
kit-name = Name
kit-name-help = What people call it. Left empty, it is called as above.
kit-code = Code
kit-code-help = Left empty, it gets a new one. At most 20 capitals, digits and hyphens.
kit-condition = Condition
kit-condition-good = good
kit-condition-damaged = damaged, must not be used
kit-inspected-on = Inspected on
kit-inspection-due = Inspect again by
kit-inspection-due-help = Left empty, its inspection is never overdue.
kit-home = Where it lives
kit-note = Note
kit-bay-size = For a bay: its clear floor
kit-width = Width in { $unit ->
    [in] inches
   *[mm] mm
 }
kit-length = Length in { $unit ->
    [in] inches
   *[mm] mm
 }
kit-plan = What it looks like from above
kit-plan-help = First line: the corners of its floor, each two numbers in { $unit ->
    [in] inches
   *[mm] mm
 } from where the middle between the front wheels comes to stand, forward and to the left; in the order in which you walk round it. Then a line for each thing that stands there. For example { $unit ->
    [in] “Bay: 177 82-1/2; 177 -82-1/2; -276 -82-1/2; -276 82-1/2”, and below it “Pillar: 36 71; 36 83; 24 83; 24 71”.
   *[mm] “Bay: 4500 2100; 4500 -2100; -7000 -2100; -7000 2100”, and below it “Pillar: 900 1800; 900 2100; 600 2100; 600 1800”.
 }
kit-keep = Keep the changes
kit-report = Something wrong with it?
kit-report-what = What is wrong
kit-report-help = It is out of service at once. A supervisor or a manager puts it back.
kit-report-button = Take out of service

## specs
specs-title = Specs
specs-lead = The figures that each model is worked by. The shop writes down its own, each with its source; a second person approves them before any job uses them.
specs-back = All specs
specs-new = Begin a spec
specs-new-button = Begin
specs-own = The shop's own
specs-own-none = None yet. A manager copies one that ships with Baybook, or begins anew.
specs-shipped = Those that ship
specs-ships-lead = This one ships with Baybook and cannot be changed. Copy it to make it the shop's own.
specs-copy-this = Copy this one
specs-replaced = the shop's own is used instead
specs-revision = Revision { $revision }
specs-state-in-use = Approved: revision { $approved } is in use
specs-state-newer = Revision { $approved } is in use, revision { $revision } waits
specs-state-draft = Draft, not used yet
specs-state-withdrawn = Withdrawn: revision { $approved }
specs-state-unfit = Revision { $approved } no longer fits the procedures: revise it
specs-approved-by = Revision { $revision } was approved by { $name }, { $at }.
specs-withdrawn-by = Withdrawn by { $name }, { $at }.
specs-saved-by = Revision { $revision } was saved by { $name }, { $at }.
specs-in-place = It is used in place of the one that ships.
specs-ships-meanwhile = Until it is approved, the one that ships is used.
specs-manager-only = Only a manager begins or changes a spec: scan such a badge on this phone first.
specs-copy = Start from
specs-copy-none = nothing
specs-copy-help = Its figures are copied; check each against your own source.
specs-maker = Maker
specs-model = Model
specs-model-help = Empty, both stay as copied, and the spec is used in place of the one it was copied from. With another model it is a spec of its own.
specs-import = From a file
specs-file = YAML file
specs-file-help = As the library keeps them: one vehicle a file.
specs-import-button = Read the file
specs-file-wrong = { $count ->
    [one] The file was not taken: 1 line is wrong.
   *[other] The file was not taken: { $count } lines are wrong.
}
specs-line = Line { $line }:
specs-faults = { $count ->
    [one] One thing is left before it can be approved
   *[other] { $count } things are left before it can be approved
}
specs-lacks = Still to be filled in: { $names }.
specs-to-do = { $count } left
specs-parts = Parts
specs-part-about = The vehicle
specs-part-questions = Questions about it
specs-part-figures = Its own figures
specs-part-variant = Other figures ({ $answers })
specs-edit = Change
specs-remove = Take away
specs-nothing-yet = nothing yet
specs-add = Another calibration
specs-add-button = Add it
specs-variant = Other figures for one answer
specs-variant-button = Add them
specs-approve = Approve revision { $revision }
specs-approve-lead = { $name } saved it; somebody else vouches for every figure of it.
specs-look-first = Look at what changed first.
specs-approve-button = Approve it
specs-signs = { $name } signs with the PIN.
specs-other-badge = Somebody else signs
specs-badge = Badge of a supervisor or a manager
specs-withdraw = Withdraw it
specs-withdraw-lead = No new job uses these figures any more; a job that runs keeps its sheet.
specs-withdraw-ships = The one that ships with Baybook is used again.
specs-withdraw-why = Why
specs-withdraw-button = Withdraw
specs-revisions = Revisions
specs-was-approved = approved by { $name }, { $at }
specs-was-withdrawn = withdrawn by { $name }, { $at }
specs-export = Save as a file
specs-against = Against
specs-show = Show
specs-no-difference = Nothing differs.
specs-field = Field
specs-years = Model years
specs-years-help = Like 2019-2023, or 2024- where it is still made.
specs-vin = VIN patterns
specs-vin-help = One a line: 17 characters with ? for any one, or a beginning and *.
specs-outline = Size, mm
specs-outline-length = Length
specs-outline-width = Width, no mirrors
specs-outline-wheelbase = Wheelbase
specs-outline-front-overhang = Front overhang
specs-outline-track-front = Track, front
specs-outline-track-rear = Track, rear
specs-questions-lead = Tick the answers that this model can have. A question with none ticked is not asked.
specs-source = Source
specs-source-help = Where the figures come from, as the record cites it. Without it nothing is approved.
specs-reference = The sensor is aimed along
specs-line-own = as the whole spec
specs-line-centreline = Centreline
specs-line-thrust-line = Thrust line
specs-line-bumper = Bumper
specs-line-hub = Hub
specs-line-emblem = Emblem
specs-figures = Figures
specs-taken-by = Taken by: { $step }
specs-number-value = Value
specs-number-nominal = Nominal
specs-number-tolerance = Tolerance ±
specs-number-low = Lowest
specs-number-high = Highest
specs-unit = Unit
specs-more = Reference and source of its own
specs-counts-from = Counts from
specs-other-source = Another source
specs-other-source-help = Empty: the source above.
specs-other-revision = Its revision
specs-placements = Where the targets stand
specs-placements-help = From the middle between the front reference points: x forward, y to the left, the height of the centre above the tyre contacts.
specs-target = Target
specs-spot = Spot
specs-place-x = x, mm
specs-place-y = y, mm
specs-place-height = Height, mm
specs-place-yaw = Yaw, deg
specs-save = Save
specs-save-help = Saving makes revision { $revision }. Earlier ones stay.

## people
people-title = People
people-lead = A badge and a PIN say who is working. A supervisor's or a manager's PIN countersigns, too.
people-add = Add somebody
people-add-button = Add
people-back = Everybody
people-empty = Nobody is here yet. Add the manager first.
people-first = There is nobody yet who could sign. Add a supervisor or a manager with a PIN first: from then on every change here is signed.
people-first-code = First code
people-first-code-help = The server's terminal shows it when it starts. It is good once.
role-technician = technician
role-apprentice = apprentice
role-supervisor = supervisor
role-manager = manager
people-signs = has a PIN
people-signs-not = has no PIN yet, so cannot begin
people-left = no longer works here
people-works-here = works here
people-here = Here
people-name = Name
people-role = Role
people-pin = PIN
people-pin-help = 4 to 8 digits. Nobody can begin to work without one.
people-new-pin = New PIN
people-new-pin-help = Left empty, the PIN stays as it is.
people-code = Badge
people-code-help = Left empty, a new badge is made. At most 20 capitals, digits and hyphens.
people-badge = Badge
people-print-badge = Print this badge
people-short = Short text: { $count ->
    [0] of nothing
    [one] of one procedure
   *[other] of { $count } procedures
}
people-short-help = Of what is ticked this person sees the short text of each step, and the full one in a fold. Cautions, scans, readings and hold points always stand there. Everybody but an apprentice may change it at the step as well.
people-short-calibrations = Calibrations
people-short-around = Before and after
people-your-pin = Your own PIN
people-your-pin-help = It signs this change.
people-keep = Keep the changes

## competence
competence-open = Competence
competence-title = { $name }: competence
competence-lead = Whoever works a calibration under supervision meets every hold point of it, the others those meant for everyone.
competence-alone = alone
competence-supervised = under supervision
competence-proposed = { $passed } supervised jobs passed the first time, { $enough } are asked for: a supervisor may say alone.
competence-passed = { $passed } of { $enough } supervised jobs passed the first time
competence-say = Say how it is worked
competence-calibration = Calibration
competence-level = From now on
competence-reason = Why
competence-button = Say so
competence-history = What was said
competence-nothing = Nothing yet.

## badge
badge-title = Who is working?
badge-now = { $name }, { $role }, has this phone.
badge-field = Your badge
badge-help = Scan it, or type the text beneath the code. Your PIN comes next.
badge-button = Go on
badge-leave = Give the phone back
badge-lock = Lock it now
pin-asks = Whose badge this is
pin-locked = This phone is locked
pin-field = PIN
pin-keys = Number keys
pin-back = Rub out
pin-button = Start
pin-other = Somebody else
badge-sign-in-wrong = { $name }'s PIN of { $time } was wrong. Each job worked on under it says so. Scan your badge and give your PIN again.

## times
times-title = Times
times-lead = How long each calibration takes here, from this shop's own finished jobs. The times tell about the work, never about who does it.
times-types-caption = Minutes a calibration takes: its own steps and its share of the shared set-up
times-calibration = Calibration
times-jobs = Jobs
times-median = Half within
times-p80 = 4 of 5 within
times-median-min = Half within, minutes
times-p80-min = 4 of 5 within, minutes
times-own = Own steps
times-shared = Set-up share
times-whole = Whole time
times-first-time = First time right
times-of = { $passed } of { $n }
times-rate-interval = { $low }–{ $high } %
times-interval = { $low }–{ $high }
times-interval-from = at least { $low }
times-interval-none = needs { $needs } jobs
times-too-few = { $n ->
    [0] No job counts yet: statistics begin with 5.
    [one] One job counts: too few for statistics, which begin with 5.
   *[other] { $n } jobs count: too few for statistics, which begin with 5.
}
times-none-yet = No job has been finished yet. When one is, its times stand here.
times-none-like-this = No finished job is like this.
times-strip-of = { $name }: { $n ->
    [one] one job
   *[other] { $n } jobs
} along a line of minutes; the figures stand beside it.
times-run-of = { $name }: { $n ->
    [one] one job
   *[other] { $n } jobs
} in the order they were finished; the table of jobs has the same figures.
times-spot = { $order }: { $minutes } min
times-key-job = a job
times-key-again = not right the first time
times-key-estimated = estimated: a clock broke
times-key-beyond = longer than the scale
times-key-median = half within
times-key-p80 = 4 of 5 within
times-key-limit = usually at most
times-key-notice = unusually long: what happened?
times-narrow = Only some of the jobs
times-narrow-do = Show these
times-since = From
times-until = To
times-any = any
times-vehicle = Vehicle
times-bay = Bay
times-placing = Placing
times-revision = Revision of the procedure
times-all-jobs = All jobs again
times-left-out = { $n } left out
times-narrowed = Only { $which }.
times-narrowed-since = from { $day }
times-narrowed-until = to { $day }
times-narrowed-with = { $label }: { $words }
times-type-title = { $name }: times
times-whole-caption = Minutes, from { $n } jobs
times-run-title = Job by job
times-run-what = Minutes for its own steps, oldest job first: how the set-up was shared plays no part here. Tap a dot for its record.
times-jobs-table = { $n ->
    [one] The one job as a table
   *[other] All { $n } jobs as a table
}
times-where = Where the time goes
times-own-caption = Own steps, minutes
times-shared-caption = Shared set-up, minutes: its share of each step
times-waits-caption = Held for a countersign, minutes: not in the times above
times-pauses-caption = Pauses of these jobs, minutes: not in the times above
times-step = Step
times-pause = Reason
times-redone = done anew in { $n ->
    [one] one job
   *[other] { $n } jobs
}
times-jobs-title = { $name }: jobs
times-jobs-all = { $n ->
    [one] One job
   *[other] { $n } jobs
}
times-jobs-again = { $n ->
    [one] One job was not right the first time
   *[other] { $n } jobs were not right the first time
}
times-jobs-left-out = { $n ->
    [one] One job is left out of the statistics
   *[other] { $n } jobs are left out of the statistics
}
times-jobs-caption = { $name }, minutes, the latest first
times-jobs-latest = These are the latest { $n }; the file has them all.
times-step-caption = The longest first, minutes
times-others = { $n ->
    [one] One shorter one
   *[other] { $n } shorter ones
}
times-jobs-show-all = All { $n } jobs
times-job = Repair order
times-finished = Finished
times-outcome = Scan tool
times-outcome-done = ● done
times-outcome-again = ◐ done, not the first time
times-outcome-failed = ⊗ failed
times-outcome-not-run = ○ not run
times-outcome-left-undone = ○ left undone
times-estimated = estimated
times-step-title = { $name }: one step
times-at-it = At it
times-held = Held
times-attempts = Times done
times-files = To take along
times-file-jobs = Jobs as CSV
times-file-steps = Steps as CSV
times-columns = What the columns mean
times-how = How these figures are made
times-how-median = Half within
times-how-median-is = The median: half of the jobs took no longer. A mean would be carried away by one bad day.
times-how-p80 = 4 of 5 within
times-how-p80-is = The 80th percentile: what to promise a customer. Both are read off the sorted times, at the place (n − 1) · p, as spreadsheets do it.
times-how-interval = The smaller figures
times-how-interval-is = Where the true value lies, with 95 % confidence: for times an order-statistic interval (exact binomial), for rates a Wilson interval. With few jobs it is wide, and that is the truth: an upper end of ‘4 of 5 within’ takes 17.
times-how-own = Own steps
times-how-own-is = The steps of this calibration alone, over all attempts, without pauses and without waiting for a countersign.
times-how-shared = Set-up share
times-how-shared-is = Set-up and closing are done once for all calibrations of a job. Each that they serve bears an equal share, so that the parts add up to the time worked. Medians of parts do not add up to the median of the whole.
times-how-first = First time right
times-how-first-is = The scan tool said done and no run had failed before. What was not run is not counted.
times-how-estimated = Left out
times-how-estimated-is = Times that are estimated, since the phone was restarted or changed on the way, and calibrations that were not brought to an end. They are shown and counted, and kept out of the statistics.
times-how-limit = Usually at most
times-how-limit-is = From 12 jobs on: the mean and 2.66 times the mean difference from job to job. A job above it is worth a question. Times lean to the long side, so it is a question and not a verdict.
times-how-people = People
times-how-people-is = There is no figure for a person here, and no ranking.
times-trend = Trend
times-trend-of = { $name }: medians of jobs one group after another; the figures stand beside.
times-trend-few = a trend takes 10 jobs
times-trend-what = Jobs that count, in up to 12 groups of the same size, the oldest first: half of each group took no longer than its dot. The lines show where the median lies, 95 % sure.
times-setup-share = Of it set-up
times-per-cent = { $n } %
times-person = Person
times-share = Of all
times-so-far = So far
times-bar-of = { $name }: half within { $median } min, 4 of 5 within { $p80 } min
times-behind = The figures of this chart
times-minutes = Minutes
times-interval-heading = Where that lies
times-bin = { $low } to { $high }
times-bin-last = { $low } and more
times-distribution = How the jobs lie
times-distribution-what = How many jobs took how many minutes, whole time. The last bar stands for all that took longer.
times-distribution-of = { $name }: a distribution of { $n } jobs by minutes, with the median and the 80th percentile; the figures stand below.
times-key-mean = the mean
times-run-figures = Mean { $mean } min; usually between { $low } and { $high } min, and from one job to the next no more than { $change } min apart.
times-noted-caption = What stands out
times-rule = Why
times-rule-more = { $rule }, and { $more ->
    [one] the job after it
   *[other] the { $more } jobs after it
}
times-rule-beyond-limit = outside the usual limits
times-rule-two-of-three = two of three jobs far out on one side
times-rule-four-of-five = four of five jobs out on one side
times-rule-eight-in-a-row = eight jobs in a row on one side of the mean
times-effect-title = Did something change?
times-effect-of-revision = Own steps under revision { $after } of the procedure ({ $m } jobs) against revision { $before } ({ $n } jobs):
times-effect-of-day = Own steps from { $after } on ({ $m } jobs) against before ({ $n } jobs):
times-effect-none = no difference shown ({ $low } to { $high } min).
times-effect-longer = { $by } min longer ({ $low } to { $high } min).
times-effect-shorter = { $by } min shorter ({ $low } to { $high } min).
times-effect-few = The jobs shown here follow one revision of the procedure, or too few follow another: a comparison takes 5 jobs on each side.
times-effect-few-day = Too few jobs: a comparison takes 5 jobs on each side of the day.
times-effect-revision-before = Revision { $name }
times-effect-revision-after = Revision { $name }
times-effect-day-before = Before { $name }
times-effect-day-after = From { $name } on
times-compare = Compare before and from this day
times-compare-do = Compare
times-rework = What had to be done again
times-causes-caption = What was found when something was wrong
times-cause = Cause
times-how-often = How often
times-again-caption = Steps begun again, and wrong labels scanned: in how many jobs
times-begun-again = Begun again
times-wrong-labels = Wrong label
times-step-share = This step serves several calibrations. The figures above are the share that falls to { $name }; the list has its whole time.
times-how-trend = Trend
times-how-trend-is = Medians of groups of jobs one after another, each of the same number of jobs, and never of fewer than 5.
times-how-rules = What stands out
times-how-rules-is = The individuals chart’s tests of the Western Electric handbook: beyond the limits; two of three beyond two thirds of the way; four of five beyond one third; eight in a row on one side of the mean.
times-how-effect = Did something change?
times-how-effect-is = The Hodges–Lehmann shift: the median of all differences between a job of the one set and a job of the other, with the 95 % interval that belongs to the rank-sum test. Where the interval holds nought, no difference is shown. A difference that is shown says nothing about its cause.
times-parquet-jobs = Jobs as Parquet
times-parquet-steps = Steps as Parquet
times-column-failures = How many runs failed at it
times-column-wrong-scans = How many scans brought a wrong label
times-column-causes = What was found to be wrong, as it was said then
times-column-job = The job's identity, the same in both files
times-column-repair-order = The repair order
times-column-finished-at = When the job was finished, UTC
times-column-calibration = The calibration, by its procedure's name
times-column-revision = The revision of the procedure that was followed
times-column-vehicle = The vehicle's name in the library
times-column-bay = The bay's code
times-column-placing = How the target was placed, where the procedure asks
times-column-own-s = Its own steps, seconds
times-column-shared-s = Its share of the shared set-up, seconds
times-column-waited-s = Held for a countersign, seconds; not in the times before
times-column-pause-parts-s = Paused for parts, seconds, the whole job
times-column-pause-customer-s = Paused for the customer, seconds, the whole job
times-column-pause-other-job-s = Paused for another job, seconds, the whole job
times-column-pause-break-s = Paused for a break, seconds, the whole job
times-column-pause-equipment-s = Paused for equipment, seconds, the whole job
times-column-pause-finishing-s = From the last step to the end of the job, seconds
times-column-outcome = done, failed, not-run or left-undone
times-column-first-time = yes or no; empty where the scan tool gave no verdict
times-column-estimated = yes where a clock broke on the way
times-column-section = The procedure that the step belongs to
times-column-step = The step
times-column-serves = The calibrations among which its time is divided
times-column-worked-s = At the step, seconds, over all attempts
times-column-attempts = How often it was begun
times-ways = The times pages
times-overview = Overview
times-now = Now
times-now-title = In progress
times-now-count = { $n ->
    [one] One job in progress
   *[other] { $n } jobs in progress
}, { $done } finished today. As of { $time }.
times-now-none = No job is in progress. When one is started, how far it has come stands here.
times-now-left = { $minutes } min of work left, { $low }–{ $high }
times-now-finish = Expected finish { $at }, between { $early } and { $late }: { $left }.
times-now-paused = Paused since { $since }: { $reason }. { $left } when it goes on.
times-now-quiet = Nothing heard of it since { $since }. { $left }.
times-now-held = Held for a countersign since { $since }.
times-now-is-slow = ◐ Much slower than expected:
times-now-slow = { $spent } min so far, for what usually takes { $usual } and in 19 of 20 jobs at most { $most }.
times-now-step-slow = at this step for { $spent } min; usually it takes { $usual }.
times-now-guessed = { $n ->
    [one] One step
   *[other] { $n } steps
} with the procedure’s own figure: too few jobs here have done them.
times-now-how = The finish is read off what this shop’s last 60 jobs took at the same steps: in 8 of 10 it lies between the two times. Pauses and waiting for a countersign come on top. The page shows itself anew every 20 seconds.
times-whatif = What if
times-whatif-title = What if?
times-whatif-lead = A day in this shop with other numbers, played through with what its last { $n } finished jobs really took.
times-whatif-plan = The day
times-whatif-do = Play this day
times-whatif-field-bays = Bays
times-whatif-field-technicians = People who work on vehicles
times-whatif-field-stands = Target stands
times-whatif-field-arrivals = Vehicles a day
times-whatif-field-hours = Hours open
times-whatif-from-to = { $low } to { $high }
times-whatif-way = How they come
times-whatif-way-random = as they come, by chance
times-whatif-way-booked = booked, at even distances
times-whatif-mix = More or fewer of a calibration
times-whatif-mix-help = How often it is asked for, measured by today: 2 is twice as often, 0 not at all, at most { $most }.
times-whatif-outcome = What such days bring
times-whatif-finished = { $finished } of { $came } vehicles that come are finished on a mean day.
times-whatif-sure = 95 % sure: { $low }–{ $high }. On 8 of 10 days { $day_low } to { $day_high }.
times-whatif-bottleneck-bays = The bays are the bottleneck.
times-whatif-bottleneck-technicians = The people are the bottleneck.
times-whatif-bottleneck-stands = The target stands are the bottleneck.
times-whatif-bottleneck-bay-and-person = The bays and the people are the bottleneck together.
times-whatif-bay-and-person = A bay and a person
times-whatif-one-more = One more: { $gain } jobs a day.
times-whatif-no-bottleneck = Nothing is the bottleneck: one more bay, person or stand brings no more finished jobs for sure.
times-whatif-gain = { $by } ({ $low } to { $high })
times-whatif-waits = Half of the vehicles wait until the work on them begins for no more than { $median }, 4 of 5 for { $p80 }.
times-whatif-not-that-day = longer than the day
times-whatif-a-day = Vehicles a day
times-whatif-mean = Mean
times-whatif-95 = 95 % sure
times-whatif-8-of-10 = 8 of 10 days
times-whatif-span-of = { $name }: mean { $mean }, on 8 of 10 days { $days }
times-whatif-came = Came
times-whatif-done = Finished
times-whatif-in-bay = In a bay at closing
times-whatif-not-begun = Not begun
times-whatif-busy = In use, and finished jobs a day with one more
times-whatif-in-use = In use
times-whatif-with-one-more = With one more
times-whatif-bays = Bays
times-whatif-technicians = People
times-whatif-stands = Stands
times-whatif-stand-wait = A vehicle waits for a stand { $minutes } min on average.
times-whatif-days = Played on { $n } days.
times-whatif-how = How the day is played
times-whatif-how-drawn = Each vehicle is one of the finished jobs, drawn with its set-up, its calibrations, its waits for a countersign and its pauses together; jobs with an estimated time are left out. Pace and vehicles are those of the shop as it has been.
times-whatif-how-played = A vehicle takes a bay until it is done, and one person; during a pause that person works elsewhere, and goes on with what was begun before anything new. A calibration whose targets hang on a stand waits for a free one. Each day begins with an empty shop; driving in and out, and days off, are not played.
times-whatif-how-sure = The interval is Student’s t over the days played. One more bay, person or stand is tried on the very same days, so that only it makes the difference. It tells of the play; that the shop will be as it was is assumed.
times-week = Week
times-week-title = Week { $n }: { $begins } to { $ends }
times-week-earlier = ← the week before
times-week-later = the week after →
times-week-jobs = Jobs finished
times-week-last = { $n } the week before
times-week-held = Waits for a countersign
times-week-none = No job was finished in this week.
times-week-caption = Minutes a calibration took, and in the { $weeks } weeks before
times-week-now = Half within
times-week-before = Before
times-week-difference = Difference
times-week-moved = { $by } ({ $low } to { $high })
times-week-no-difference = no difference shown
times-week-too-few = too few to tell
times-week-odd = Longer than usual: what happened?
times-week-odd-job = { $name }: { $minutes } min, usually at most { $most }
times-week-odd-none = No job.
times-week-causes = Why a run failed
times-week-cause = { $cause } ({ $n })
times-week-causes-none = No run failed for a cause that was named.
times-week-pauses = Pauses
times-week-pause = { $reason }: { $minutes } min in { $n ->
    [one] one job
   *[other] { $n } jobs
}
times-week-pauses-none = None.
times-week-more = And { $n } more.
times-week-how = Half within: the median, from 5 jobs on, of the whole time with its share of the set-up; the smaller figures say where it lies, 95 % sure. Difference: the Hodges-Lehmann shift against the { $weeks } weeks before, in minutes. Left out of the times, and counted: { $n }.
times-kit = Kit and bays
times-kit-days = Other days
times-kit-last-days = The last four weeks again
times-kit-labels = Labels scanned wrongly
times-kit-scans = { $wrong } of { $n } scans were wrong.
times-kit-labels-caption = By the label that was scanned, the most often wrong first
times-kit-label = Label
times-kit-wrong = Wrong
times-kit-of-scans = Of scans
times-kit-mostly = Mostly
times-kit-stranger = no label of ours
times-kit-targets = Handling of targets
times-kit-targets-caption = Minutes from a target’s scan to that of its spot
times-kit-targets-none = No target was hung in these days.
times-kit-target = Target
times-kit-waits = Waits for a target, a stand or a tool
times-kit-waiting = { $n ->
    [0] No job was paused for equipment.
    [one] One job was paused for equipment.
   *[other] { $n } jobs were paused for equipment.
}
times-kit-waits-caption = Minutes paused for equipment, by the step where it was missing
times-kit-bays = Bays
times-kit-bays-caption = Each bay against the others, by the same calibrations
times-kit-against = Against the others
times-kit-longer = { $by } % ({ $low } to { $high })
times-kit-waited = Waited for equipment
times-kit-how-labels = Every scan of a finished job counts, by the label that was scanned. A label that is wrong often is hung where it is mistaken for another, or reads badly; the record of a job has each of its scans.
times-kit-how-targets = From the scan of a target to the scan of the spot it was hung in, on one clock; what was put away is not counted. Waits are pauses with the reason ‘equipment’.
times-kit-how-bays = Each time is held against the median of its calibration, and the bays’ ratios are compared by the Hodges-Lehmann shift of their logarithms: so a bay that gets the long calibrations is not called slow. Bays are told over all days unless some are asked for.
times-learning = Learning
times-learning-title = Towards working alone
times-learning-lead = Each apprentice’s own way, in order of their names. Only the person and supervisors see it, and nobody is compared.
times-learning-nobody = There is no apprentice in this shop.
times-learning-jobs = { $n ->
    [one] one job
   *[other] { $n } jobs
}
times-learner-lead = The jobs that this person brought to an end, by calibration. Who may work one alone is a supervisor’s decision.
times-learner-countersigned = With a countersign
times-learner-recent = First time right, last { $n }
times-learner-none = No job brought to an end yet.
times-learner-few = { $n ->
    [0] No job counts yet: a learning curve takes 8.
    [one] One job counts: a learning curve takes 8.
   *[other] { $n } jobs count: a learning curve takes 8.
}
times-learner-no-curve = The { $n } jobs show no learning curve: they scatter more than they fall.
times-learner-curve = Twice as many jobs take { $less } % less ({ $low } to { $high } %); now about { $now } min, from { $n } jobs.
times-learner-of = { $name }: minutes for its own steps, { $n ->
    [one] one job
   *[other] { $n } jobs
} in order; the table behind has the figures.
times-learner-nth = Job
times-learner-how-countersigned = With a countersign: jobs in which a supervisor signed at a hold point of this calibration.
times-learner-how-curve = The curve is T = T₁ · nᵇ, fitted by least squares to the logarithms of the minutes for its own steps; its interval is 95 % sure. Jobs with an estimated time and those not brought to an end are left out and still count as jobs done.
times-learner-how-alone = These figures decide nothing. Vehicles and repairs differ, and somebody who takes time to do it right is right.

## demo
demo-photo = Demo: no photo was taken here

## today
today-apart = something to look at
today-title = Today
today-check-due = The day's equipment check is due
today-check-running = The day's equipment check is under way
today-check-valid = Equipment checked today at { $time }
today-check-record = See the check
today-check-overtaken = Overtaken by the check of another day.
today-check-go-due = Begin the check
today-check-go-running = Go on with it
today-new = New job
today-open = Open jobs
today-none = No job is open. Scan a VIN to begin one.
today-planning = Being planned
today-finished = Finished last
today-waits = { $count ->
    [one] A step waits for you
   *[other] { $count } steps wait for you
}
waiting-title = Waiting for you
waiting-lead = Steps that wait for a supervisor. Open one, look, accept it or send it back.
waiting-none = Nothing waits.
today-no-order = no repair order yet
today-vehicle-unknown = vehicle not known yet
today-away = not on this phone yet: open it while the shop's network is there
today-settled = { $settled } of { $of } steps
today-finished-job = finished { $day }
today-abandoned = abandoned { $day }

## intake
new-title = New job
new-lead = Scan the VIN at the windscreen or the door pillar. A scanner's Enter is enough; nothing needs to be tapped.
new-vin = VIN
new-vin-help = 17 characters, no I, O or Q.
new-read = Read
new-photo = Photo of the VIN
new-confirm = Compare it with the vehicle
new-confirm-mismatch = The check digit does not fit. On a vehicle built for North America that means one character was misread.
new-confirm-unsure = It was read in one way only. Compare every group.
new-confirm-button = The same on the vehicle
new-again = Read it again
cleaned-line-end = The scanner's line end was taken off.
cleaned-blanks = Blanks were taken out.
cleaned-lower-case = Small letters were made capitals.
cleaned-code-39-wrapper = The stars around the bar code were taken off.
cleaned-leading-i = A leading I, which some bar codes carry, was taken off.
intake-title = Vehicle and reasons
intake-other = Another job is open on this VIN:
intake-vehicle = Model
intake-choose = Choose the model
intake-matches = the VIN fits
intake-no-match = No model of the library fits this VIN. Choose one only if you are sure that its specs hold for this vehicle.
intake-take = Take it
intake-order = Repair order
intake-odometer = Odometer, km
intake-bay = Bay
intake-reasons = Why is it here?
intake-lamps = Warning lamps that are on
intake-codes = Trouble codes stored
intake-plan = Plan the calibrations
reason-windscreen-replaced = Windscreen replaced
reason-camera-replaced = Camera removed or replaced
reason-radar-replaced = Radar removed or replaced
reason-lidar-replaced = Lidar removed or replaced
reason-mirror-replaced = Mirror removed or replaced
reason-bumper-refitted = Bumper removed or refitted
reason-parking-sensor-replaced = Parking sensor removed or replaced
reason-headlamp-replaced = Headlamp removed or replaced
reason-wheel-alignment-adjusted = Wheel alignment adjusted
reason-steering-repaired = Steering gear, column or its sensor repaired
reason-ride-height-changed = Suspension or ride height changed
reason-height-sensor-replaced = Height sensor removed or replaced
reason-collision-repair = Collision repair
reason-airbag-deployed = Airbag deployed
reason-control-unit-replaced = Control unit replaced or coded
reason-battery-disconnected = Battery disconnected
reason-trouble-code-stored = Trouble code stored
reason-wheel-size-changed = Wheel or tyre size changed

## drop
drop-title = Drop this job
drop-lead = Nothing has been done on it yet. It leaves the list of jobs; the reason is kept.
drop-button = Drop it
drop-not = Keep it

## plan
plan-title = Plan
plan-change = change
plan-calibrations = Calibrations due
plan-none = Nothing is due for these reasons. Add a calibration, or correct the reasons.
plan-because = Called for by: { $reasons }
plan-added = Added: { $why }
plan-source = Figures: { $source }, revision { $revision }. The vehicle maker's current instructions come first.
plan-strike = Do not do this one
plan-strike-why = Why not?
plan-strike-button = Strike it
plan-struck = Struck: { $why }
plan-restore = Put it back
plan-add = Add a calibration
plan-add-which = Which
plan-add-why = Why
plan-add-button = Add it
plan-kit = Kit
plan-condition = condition
area-fits = It fits { $bay }: the nearest is { $by ->
    [edge] the bay’s edge
   *[other] { $by }
 }, { $clear } away, { $where }.
area-fits-middle = { $bay } is large enough: { $clear } to spare with all of it in the middle. Its plan is not on the kit’s page, so look where it leaves the vehicle.
area-not = It does not fit { $bay }: { $by ->
    [edge] it reaches beyond the bay’s edge
   *[other] { $by } stands in it
 } by { $short }, { $where }.
area-shift = It fits with the vehicle { $moves }.
area-shift-x = { $length } { $to ->
    [forward] farther forward
   *[back] farther back
 }
area-shift-y = { $length } farther to the { $to ->
    [left] left
   *[right] right
 }
area-no-shift = No place in this bay is large enough: clear it, or take another bay.
area-where = { $along } { $unit } { $x ->
    [ahead] ahead of
   *[behind] behind
 } the front wheels and { $aside } { $unit } to the { $y ->
    [left] left
   *[right] right
 }
area-unknown = Whether it fits the bay was not worked out, since the job was planned on the phone: look, and measure where it is close.
area-no-plan = Whether it fits is not known: no bay was chosen, or its size is not on the kit’s page.
plan-kit-missing = none in the shop
plan-kit-good = good
plan-kit-damaged = damaged
plan-kit-overdue = inspection overdue
plan-area = Clear floor
plan-area-text = { $length } { $unit } long and { $width } { $unit } wide: { $ahead } { $unit } ahead of the vehicle, { $behind } { $unit } behind, { $side } { $unit } on each side.
plan-order = Order and time
plan-part = part
plan-median = half of jobs within
plan-p80 = four of five within
plan-from-jobs = from { $count } own jobs
plan-from-procedure = the procedure's own figure
plan-total = Together
plan-freeze = Starting freezes the steps: a later change of a procedure does not touch this job.
plan-start = Start the job
minutes = { $count } min

## record
record-title = Record
record-title-day = Equipment check
record-open = This job is not finished.
record-vehicle = Vehicle
record-spec = Spec
record-reasons = Reasons
record-before = Lamps and codes on arrival
record-nothing-given = none given
record-check = Equipment check valid that day
record-no-check = none was finished that day before this job
record-began = Begun
record-ended = Ended
record-people = People
record-calibrations = Calibrations
record-calibration = calibration
record-outcome = outcome
record-figures = figures used
record-runs = { $count ->
    [0] never run
    [one] one run
   *[other] { $count } runs
}, { $failures ->
    [0] none failed
    [one] one failed
   *[other] { $failures } failed
}
record-revisions = spec revision { $spec }, procedure revision { $procedure }
record-reference-centreline = aimed along the centreline
record-reference-thrust-line = aimed along the thrust line
record-tool-governs = The outcome is the scan tool's own. Baybook guides, computes and records; it declares no sensor calibrated.
record-not-done = Not done
record-apart = To look at
record-caution = Assistance functions may act unexpectedly until this is done. Tell the owner, in writing.
record-scans = Targets and scans
record-at = at
record-label = label read
record-verdict = verdict
record-placed = placed
record-readings = Readings
record-rule = Decision rule: inside only if the reading lies within the limits by its expanded uncertainty U (k = 2) or more; outside only if beyond them by as much; else too close to call. After { $edition }.
record-what = reading
record-value = value
record-u = U (k = 2)
record-allowed = limits
record-by-rule = guard band w = U, k = { $coverage }; { $edition }
record-from = { $source }, revision { $revision }
record-inspected = its inspection good until { $day }
record-misfit = misfit { $misfit }
record-overruled = Let stand by { $by }: { $why }
record-photos = Photos
record-countersigns = Countersigned
record-on-the-way = On the way
record-trouble = Something was wrong
record-undone = Undone
record-was-undone = undone later
record-times = Times
record-time-sum = At the steps { $worked } · waiting for a countersign { $waited }
record-estimated = some times are estimated from the wall clock
pause-finishing = Between the last step and the end
record-sheet = Sheet (SHA-256):
record-limits = Local codes, the vehicle maker's instructions and licensed practice come first. Functions that need a road drive are proven only by that drive.
record-journal = The journal as a file
record-amendments = Amended after the end
record-amended = Because: { $why }
amend-title = Amend this record
amend-lead = What was recorded stays as it is. Your correction is added with your name, enters the log, and goes along with the record from now on.
amend-text = What is to be known
amend-reason = Why it is amended
amend-button = Add the amendment
record-pdf = Record as PDF
record-file = Record as a file to check
record-check-code = Code that leads to the check of this record
record-check-what = Entry { $number } of this shop's log. On the shop's network the code leads to its check; elsewhere the PDF or the file can be checked with the shop's public key.

## check
check-title = Check of a record
check-known = Recorded here.
check-known-what = This shop's log has the entry that was printed, and nothing came to the job since.
check-later = Recorded here, and something came to it later.
check-later-joined = On { $at } a phone brought further entries of this job. Ask for the newest record.
check-later-amended = On { $at } the record was amended. Ask for the newest record.
check-later-finished = Its newest entry is of { $at }. Ask for the newest record.
check-later-abandoned = Its newest entry is of { $at }. Ask for the newest record.
check-unknown = Not in this shop's log.
check-unknown-what = What was printed is not what was recorded here, or another shop made it. Do not rely on it.
check-what = What was entered
check-why-finished = the job was finished
check-why-abandoned = the job was abandoned
check-why-joined = a phone brought further entries
check-why-amended = the record was amended
check-at = On
check-entry = Entry
check-entry-of = { $number } of { $size }
check-events = Entries in the job's journal
check-journal = Journal (SHA-256):
check-offline = Without this shop's network: baybook verify checks the PDF or the file with the shop's key.
check-key = The shop's public key

## making
making-title = Printing the record
making-step = Step { $step } of { $steps }
making-what = The shop's server lays out the pages and signs them. This page asks again by itself.
making-back = Back to the record
making-again = Try again

## drawing
# Lengths come written out, in the shop's unit. Names stand in a drawing 330 px wide: short ones keep it calm.

drawing-seen-from-above = Seen from above, the vehicle facing up; lengths in { $unit ->
    [in] inches
   *[mm] mm
 }.
drawing-seen-from-left = Seen from the vehicle's left; lengths in { $unit ->
    [in] inches
   *[mm] mm
 }.
drawing-front-axle = front axle
drawing-left-hub = left hub
drawing-right-hub = right hub
drawing-left-mark = left mark
drawing-right-mark = right mark
drawing-ahead = { $length } ahead of the front axle
drawing-behind = { $length } behind the front axle
drawing-behind-rear-axle = { $length } behind the rear axle
drawing-level-with-front-axle = level with the front axle
drawing-left = { $length } left of the centreline
drawing-right = { $length } right of the centreline
drawing-on-centreline = on the centreline
drawing-turned-left = turned { $deg }° to the left
drawing-turned-right = turned { $deg }° to the right
drawing-centre-high = height { $figure }
drawing-name = { $what }
drawing-alt-placed = { $target } at { $spot }: { $place }.
drawing-alt-stand = The stand is { $place }.
drawing-alt-tapes = Four tapes: left hub to left mark, right hub to right mark, and the two diagonals, left hub to right mark and right hub to left mark.
drawing-mark-front-left = left front mark
drawing-mark-front-right = right front mark
drawing-mark-rear-left = left rear mark
drawing-mark-rear-right = right rear mark
drawing-centreline = centreline
drawing-thrust-line = thrust line, turn drawn larger
drawing-along-plus = along +
drawing-aside-plus = aside +
drawing-alt-axis = Four marks on the floor, one under each hub. The centreline runs through the middle between the two front marks and the middle between the two rear marks. The thrust line starts at the rear middle; its turn is drawn larger than it is. Along counts plus forward, aside counts plus to the left.
drawing-alt-line = The centreline runs through the middle of the front axle and the middle of the rear axle; it goes on the floor ahead of the vehicle and behind it.
drawing-target-place = a target goes here
drawing-alt-point = { $point }: { $place }.
drawing-alt-target-place = A target goes at { $spot }: { $place }.
drawing-alt-area = Clear floor: { $ahead } ahead of the vehicle, { $behind } behind it and { $side } on each side; { $long } long and { $wide } wide in all.
drawing-bay-edge = Grey band: the edge of { $bay }, with the vehicle in its usual place.
drawing-obstacle = { $letter }: { $what }, { $place }.
drawing-there = Drawn solid, placed: { $spots }.
drawing-next = Next, in orange: { $spot }.
drawing-chocks = chock front and back
drawing-wheel-front-left = left front wheel
drawing-wheel-front-right = right front wheel
drawing-wheel-rear-left = left rear wheel
drawing-wheel-rear-right = right rear wheel
drawing-alt-chocks = Chocks at the { $wheel }, front and back.
drawing-larger = drawn { $times } times larger
drawing-not-to-scale = not to scale
drawing-in-its-place = in its place
drawing-alt-move = Seen from above, the vehicle below: the stand where it is, and dashed where it goes; { $note }.
drawing-alt-move-behind = Seen from above, the vehicle above: the stand behind it where it is, and dashed where it goes; { $note }.
drawing-alt-turn-nearer = { $number }. Turn: left end { $length } nearer, right end { $length } away from the vehicle.
drawing-alt-turn-away = { $number }. Turn: left end { $length } away from the vehicle, right end { $length } nearer.
drawing-alt-slide-left = { $number }. Slide { $length } to the left.
drawing-alt-slide-right = { $number }. Slide { $length } to the right.
drawing-alt-move-nearer = { $number }. Move { $length } nearer to the vehicle.
drawing-alt-move-farther = { $number }. Move { $length } farther from the vehicle.

## phone
phone-away = Out of reach
phone-no-shop = This page is the shop's, and the shop's network is out of reach. What lies on this phone goes on without it.
phone-no-shop-kept = This form is for the shop, and the shop's network is out of reach. Nothing of it was kept: send it again when the network is there.
job-kept-here = ready offline · { $count } to send
job-provisional = { $count ->
    [one] A countersign here is
   *[other] { $count } countersigns here are
} provisional until the shop has checked.
job-lost = this phone's storage is gone
job-sent = ready offline · sent
job-aside = ready offline · { $count } set aside at the shop
job-agreed = ready offline · both sides agree
pair-title = Pair this phone
pair-why = A paired phone works on without the network and brings its work home later.
pair-insecure = This page came over plain http: everything works while the shop's network is there, but not without it. Open the shop's https address to pair this phone.
pair-code = Code
pair-code-is = Good for one phone and ten minutes:
pair-name = What this phone is called
pair-button = Pair this phone
pair-make = Make a code
pair-ask = A supervisor or a manager scans their badge and makes the code on this page.

## serve
serve-secure = For phones that trust this shop: { $address } · how they come to: { $guide }
serve-fingerprint = SHA-256 of the shop's authority, to be compared on each phone: { $fingerprint }
serve-first = This shop has nobody yet who could sign. Add its manager at { $address } with the first code { $code }
serve-strands = Take care: phones were paired at { $old }, and this start uses { $address }. What they have not sent stays behind there: { $phones }. Start with the old ADDRESS and HTTPS_PORT, let them send everything, then pair them anew.
serve-elsewhere = Take care: the shop's address { $address } is none of this machine's ({ $own }), so phones do not find it. Give the machine that address again, or set ADDRESS.

## kept
kept-title = On this phone
kept-says-unsent = This is only on this phone so far. It goes to the shop by itself as soon as the shop can be reached.
kept-says-sent = Everything is with the shop.
kept-entries = { $count ->
    [one] 1 entry
   *[other] { $count } entries
}
kept-photo = photo, { $size }
kept-photo-begun = photo, { $sent } of { $size } sent
kept-asides = Set aside at the shop
kept-asides-why = The shop has these entries, but not in the job's journal. A manager decides about them at the shop.
kept-tried = Last tried at { $time }.
kept-untried = Nothing has been tried yet.
kept-ended = The last time that all went well was { $time }.
kept-sending = Sending …
kept-failed = It did not go through.
kept-why-offline = This phone has no network. Nothing is lost; it will be tried again by itself.
kept-why-unreachable = The shop's server cannot be reached: this phone is out of the shop's network, the server is off, or its certificate is no longer trusted. Open the shop's address in the browser: it says so if it is the certificate.
kept-why-timeout = The shop's server did not answer in time. It will be tried again by itself.
kept-why-refused = The shop's server refused it: { $message }
kept-why-revoked = A manager has turned this phone away. What it still brings is kept aside at the shop for a manager to decide. To go on with it, pair it again.
kept-why-unknown = The shop's server does not know this phone: { $message }. Pair it again; its journal stays.
kept-why-storage = { $message }
kept-why-fault = Something went wrong in the app itself: { $message }
kept-send = Send now
kept-jobs = Jobs on this phone
kept-leaves = leaves this phone on { $day }
kept-stays = stays until both sides agree
kept-storage = Storage
kept-persisted = The browser has promised to keep this until you remove it.
kept-not-persisted = The browser has not promised to keep this: where the phone runs out of space, it may remove it. Install the app on the home screen and ask again. In a private window everything is gone when it is closed: do no job there.
kept-persist = Ask the browser to keep it
kept-persist-refused = The browser refused. Install the app on the home screen, open it there and ask again.
kept-space = { $used } used, { $free } free.
kept-space-unknown = This browser does not tell how much space is left.
kept-days-label = A finished job stays on this phone
kept-days = { $count ->
    [one] one day more
   *[other] { $count } days more
}
kept-days-none = no longer
kept-days-help = Counted from when the shop has all of it and both sides agree. Before that, nothing is ever removed.
kept-days-button = Keep it so
kept-file = Last resort
kept-file-why = If this phone can no longer send: save its journal as a file, with the photos that were not sent, and give the file to a manager, who brings it in at the shop.
kept-file-button = Save the journal as a file
kept-app = App { $version } · { $phone }
kept-new-version = A new version is here; it takes over when no job is in hand and no job's page is open.
kept-lost = This phone was paired with the shop, but its storage is gone: the browser or the system has removed or damaged it. What had been sent is with the shop.
kept-lost-unsent = What had not been sent is lost, unless it was saved as a file before. Tell a supervisor which steps were done last, and pair this phone again.
kept-lost-copy = What had not been sent lies in a second copy on this phone; only the last seconds may be missing. Save it as a file and give the file to a manager, who brings it in at the shop. Then pair this phone again.
kept-former = Saved from a storage that was lost
kept-former-why = This phone's storage was lost once. Here is the second copy of what it had not sent until then. Save it as a file and give the file to a manager, who brings it in at the shop.
kept-former-brought = The shop has brought it in
kept-former-remove = Remove this copy
kept-unpaired = This browser is not paired with the shop: nothing is kept here, and everything is with the shop at once.
storage-title = This phone's storage
storage-how = What was kept before is not touched. If it cannot be read again, save what can still be read and give the file to a manager, who brings it in at the shop.
bare-title = This page could not be made
bare-why = The app on this phone is not whole, or went wrong. What was kept on this phone is not touched.
bare-how = Go where the shop's network reaches, and load the page again: what is missing is then fetched. If it stays so, close the app and open it again.
bare-again = Load it again

## guide
plain-http = Plain http: everything works while the shop's network is there. No camera picture, and nothing without the network.
plain-http-link = Set up this phone
guide-title = Set up this phone
guide-lead = { $count } steps, once: the phone learns to trust this shop's server, gets Baybook on its home screen, and is paired. Then it works on where there is no network.
guide-notice = NOTICE
guide-notice-text = An authority that a phone trusts can vouch for any site to it. Install only your own shop's, compare its fingerprint, and remove it when you leave the shop or give the phone away. Its key never leaves the shop's server. On a phone of your own you may also leave all this and work online.
guide-android = An Android phone
guide-ios = An iPhone or iPad
guide-qr = Scan this with the phone's camera
guide-skip = Leave it: work online only
guide-plain-only = This shop serves plain http alone (HTTPS_PORT=0): everything works while the shop's network is there, and there is nothing to set up.
guide-count = Step { $n } of { $of }
guide-next = I have it. Next
guide-root-name = Baybook shop authority
guide-root-what = Lets this phone trust the server of your shop. Remove it when you leave the shop.
guide-do-fetch-file = Fetch the shop's authority
guide-how-fetch-file = The phone keeps a small file, baybook-shop.crt. If it asks whether to keep it: yes.
guide-button-fetch-file = Fetch the file
guide-do-install-file = Install it as a CA certificate
guide-how-install-file = Open the phone's settings, search for “CA certificate”, say that you install it anyway, and choose baybook-shop.crt among the downloads. The phone may ask for its own PIN.
guide-button-install-file = Installed
guide-do-compare-file = Compare the fingerprint
guide-how-compare-file = In the settings search for “trusted credentials” and open those of the user. Compare the SHA-256 of “Baybook shop authority” with the one on the shop's own computer: page Phones, or the server's terminal. If one sign differs, remove it and tell a manager.
guide-button-compare-file = Every sign is the same
guide-do-fetch-profile = Fetch the shop's authority
guide-how-fetch-profile = Use the browser that came with the phone; others cannot fetch it. Allow the profile to be loaded.
guide-button-fetch-profile = Fetch the profile
guide-do-install-profile = Install the profile
guide-how-install-profile = Open the phone's settings. At the top stands that a profile was loaded (else look under General, VPN and device management). Open it and install it. The phone asks for its own code.
guide-button-install-profile = Installed
guide-do-compare-profile = Compare the fingerprint
guide-how-compare-profile = In the profile open the details of the certificate “Baybook shop authority” and compare its SHA-256 with the one on the shop's own computer: page Phones, or the server's terminal. If one sign differs, remove the profile and tell a manager.
guide-button-compare-profile = Every sign is the same
guide-do-switch-on = Switch on full trust
guide-how-switch-on = In the settings open General, About, and at the very bottom the settings for trusted certificates. Switch on “Baybook shop authority”. Without this second switch the phone goes on refusing the shop.
guide-button-switch-on = Switched on
guide-do-open = Open the shop's https address
guide-how-open = If the next page opens without a warning, the phone trusts the shop. If there is a warning, do not go on past it: that does not help. Go back and look at the steps before.
guide-button-open = Open it
guide-do-home-menu = Put Baybook on the home screen
guide-how-home-menu = Open the browser's menu and choose to install the app, or to add the page to the home screen.
guide-button-home-menu = It is there
guide-do-home-share = Put Baybook on the home screen
guide-how-home-share = Tap the sign for sharing, a square with an arrow, and choose to add the page to the home screen.
guide-button-home-share = It is there
guide-do-pair = Pair the phone inside the app
guide-how-pair = From now on open Baybook from the home screen. There open Phones, then “Pair this phone”, and type the code that a supervisor or manager makes. It is good once and for ten minutes. Pair inside the app, not here: on some phones app and browser keep their work apart.
guide-pair-insecure = This page still came over plain http. Go back and open the https address first.
guide-button-pair = To today's jobs

## phones
phones-title = Phones
phones-lead = A paired phone works its jobs without the network and brings them home later. Every other phone works online.
phones-strands = Phones were paired at another address
phones-strands-text = The shop's address is { $address } now; these were paired at { $old }. What they have not sent yet lies there. Start the server with the old ADDRESS and HTTPS_PORT, let them send everything, then pair them anew.
phones-strands-one = { $name }: last seen { $seen }, sent up to event { $seq }
phones-code-where = Type it on the phone, in the installed app, under Phones, “Pair this phone”.
phones-fingerprint = The shop's authority
phones-fingerprint-why = Its SHA-256. Read it at the server itself, or on a phone that trusts the shop already, and compare it with the one on each new phone, sign by sign.
phones-paired = Paired phones
phones-none = No phone is paired yet.
phones-ask = A supervisor or a manager sees here which phones are paired, and makes the code for a new one.
phones-waiting = { $count } { $count ->
    [one] arrival waits
   *[other] arrivals wait
} for a manager's decision
phones-waits = { $count } kept aside
phones-never = never
phones-seen = seen { $at }
phones-is-paired = paired
phones-is-revoked = turned away
phones-is-from-file = known from a file
phones-back = All phones
phones-name-here = Name at the shop
phones-paired-at = Paired
phones-seen-at = Last seen
phones-clock = Its clock
phones-clock-unknown = not known yet
phones-clock-right = right
phones-clock-behind = { $seconds } s behind the server
phones-clock-ahead = { $seconds } s ahead of the server
phones-app = Version of the app
phones-highest = Kept at the shop
phones-highest-is = all up to its event { $seq }
phones-unsent = Still to send
phones-unsent-is = { $count ->
    [0] nothing, when it was seen last
    [one] 1 event or photo, when it was seen last
   *[other] { $count } events and photos, when it was seen last
}
phones-aside = Waits for a decision
phones-revoked-by = { $at }, { $name }: { $why }
phones-revoke = Turn this phone away
phones-revoke-what = For a phone that is lost, or leaves the shop. What it has sent stays; what it still brings is kept aside until a manager decides. Pairing it anew lets it in again.
phones-revoke-why = Why?
phones-revoke-button = Turn it away

## arrivals
arrivals-title = What phones brought
arrivals-lead = What the journal could not take is kept here, in the phone's own bytes, until a manager decides. Nothing is deleted, whatever is decided.
arrivals-none = Nothing waits for a decision.
arrivals-more = { $count } more wait; they are shown when these are decided.
arrivals-from = { $name }, { $at }
arrivals-event = { $what }, made { $at } by { $who }
arrivals-batch = A whole batch of { $count } events from a phone that was turned away
arrivals-text = What it says
arrivals-why = Your reason
arrivals-bring-in = Bring it in
arrivals-leave-out = Leave it out
arrivals-only-manager = Only a manager decides. Scan a manager's badge in this browser.
arrivals-did-bring-in = Brought in.
arrivals-all = and { $count ->
    [one] the other one
   *[other] the other { $count }
} of this phone that wait for the same reason
arrivals-did-all = Decided about { $count } at once; { $left } could not come in and wait on.
arrivals-did-leave-out = Left out. Its text stays kept here.
arrivals-decided = Decided last
arrivals-was-brought-in = ● brought in
arrivals-was-left-out = ⊗ left out
arrivals-decided-by = { $at }, { $name }: { $why }
arrivals-itself = the server, with the job's facts
arrivals-import = Bring in a saved journal
arrivals-import-lead = A phone that can no longer send saves its journal as a file, under “On this phone”. Brought in twice, everything is there once.
arrivals-file = The phone's file
arrivals-import-button = Bring the file in
arrivals-imported = From the file: { $kept } kept, { $known } known already, { $aside } kept aside, { $refused } refused for a gap before them; { $photos } photos.

## preview
preview-steps = { $count ->
    [one] One step.
   *[other] { $count } steps, every way of them.
}
preview-elsewhere = { $count ->
    [one] One finding in another file.
   *[other] { $count } findings in other files.
}
preview-old = The files cannot be worked with as they are; below is the last that could.
preview-short = Short:
preview-only-with = Only in jobs with one of these: { $procedures }.
preview-only-without = Only in jobs without these: { $procedures }.

## backups
backups-title = Backup
backups-none = There is no backup that was tried out.
backups-none-what = What is on this server's disk is there once. Set BACKUP_TO, or run baybook backup FOLDER.
backups-age = { $days ->
    [0] The newest backup is less than a day old.
    [one] The newest backup is one day old.
   *[other] The newest backup is { $days } days old.
}
backups-old = Look at the disk that it goes to, and at what the server says when it tries.
backups-at = Made and tried out
backups-where = Folder
backups-jobs = Jobs in it
backups-events = Events
backups-photos = Photos, each compared with its name
backups-entries = Entries of the log, hashed anew
backups-daily = Every day at { $at } the shop is copied to { $folder }.
backups-no-schedule = Nothing is copied by itself: BACKUP_TO names no folder.
backups-encrypted = Copies are encrypted.
backups-plain = Copies are not encrypted: BACKUP_KEY names no key.
backups-what = Each copy is put back into a temporary place and looked through before it counts. Keep one on another disk, and one in another building.

## outbox
outbox-title = Head office
outbox-none = This shop has joined no head office: everything stays here.
outbox-how = Head office makes a code for each shop. At this shop's server, type:
outbox-sent = All of it is at head office.
outbox-sent-what = Head office holds every finished job of this shop, and has signed its log.
outbox-waits = Something is still to be sent.
outbox-waits-what = It goes by itself when the line, the hours and the rate allow it. Work goes on meanwhile.
outbox-fails = { $count ->
    [one] The last try failed.
   *[other] The last { $count } tries failed.
}
outbox-again = It is tried again at { $at }. Nothing is lost: it waits here.
outbox-name = This shop's name there
outbox-address = Address
outbox-left = Entries to be sent
outbox-photos = Photos to be sent
outbox-arrived = Entries that arrived
outbox-signed = Entries that head office has signed
outbox-tried = Last tried
outbox-done = Last answered
outbox-hours = Hours of sending
outbox-always = at any time
outbox-rate = At most
outbox-kb = { $rate } kB a second
outbox-any = what the line takes
outbox-oldest = The oldest job that waits
outbox-now = Try now
outbox-apart = Kept apart at head office
outbox-apart-what = These entries arrived. What came with them is not what they tell of, so head office keeps it apart; look at the job here, and speak with head office.
outbox-entry = Entry { $number }
outbox-what = A finished job is sent with its sheet, its journal and its photos, signed by this shop. Head office signs the shop's log in return, so that neither can change it alone.

## shops
shops-title = Shops
shops-lead = What the shops of this head office have sent, by region.
shops-none = No shop has joined yet. Make a code for the first one.
shops-hidden = You see the shops of the regions that you were given.
shops-new = A code for a shop
shops-new-what = The code is good once and for a week. At the shop's server: baybook join ADDRESS CODE.
shops-name = Name of the shop
shops-region = Region
shops-make = Make a code
shops-code-is = The code for { $name }:
shops-entries = { $count ->
    [one] one entry
   *[other] { $count } entries
}
shops-heard = heard of { $at }
shops-never = not heard of yet
shops-silent = { $days ->
    [one] silent for one day
   *[other] silent for { $days } days
}
shops-good = in touch
shops-fails = refused
shops-left = taken out
shops-apart = { $count ->
    [one] one entry kept apart
   *[other] { $count } entries kept apart
}
shops-photos = { $count ->
    [one] one photo to come
   *[other] { $count } photos to come
}
shops-version = version { $version }
shops-times = Times at all shops
shops-times-lead = How long each calibration takes, over the shops that you see, and how often it was right the first time.
shops-times-how = Times are counted in steps of 2 %, so a figure is at most 1 % off. Estimated times, and calibrations that were not brought to an end, count as jobs and are left out of the figures. Shops and people are not ranked.
shops-times-file = These figures as CSV
shops-type-title = { $name }: times at all shops
shops-trend-of = { $name }: medians month by month; the figures stand beside.
shops-trend-few = a trend takes two months of 5 jobs
shops-months = Month by month
shops-months-what = Half of a month’s jobs took no longer than its dot. The lines show where the median truly lies. A month of fewer than 5 jobs has no dot.
shops-month = Month
shops-beside-shop = Shops side by side
shops-beside-region = Regions side by side
shops-beside-what = In the order of their names: this is no ranking. Vehicles and repairs differ from place to place, and where the smaller figures overlap, no difference is shown.
shops-beside-caption = Minutes, whole time
shops-compare = Compare before and from this month
shops-compare-few = Too few jobs: a comparison takes 5 jobs on each side of the month.
shops-where-latest = From the latest { $n } of these jobs.
shops-where-how = Steps, waits and pauses are counted in steps of 5 %, at most 2.5 % off, and come from shops whose version tells them.
shops-models-title = { $name }: outcomes by vehicle model
shops-narrow = Only some of the shops
shops-narrow-all = All shops again
shops-kit = Kit at all shops
shops-kit-lead = What is overdue, damaged or due within 30 days, by region and shop, and which labels were scanned wrongly in { $days } days.
shops-kit-nobody = No shop is like this.
shops-kit-none-overdue = Nothing is overdue or damaged.
shops-kit-not-told = not told
shops-kit-not-told-why = This shop’s version does not tell of its kit, or it has not been in touch since.
shops-kit-nothing-due = { $n ->
    [one] nothing due: { $n } thing
   *[other] nothing due: { $n } things
}
shops-kit-inspected = inspected on { $day }
shops-kit-told = As the shop told on { $at }.
shops-reads-standby = Read from the standby, which is up to date.
shops-reads-behind = As of { $at }: this page is read from the standby, which lies behind.
shops-reads-alone = As of { $at }: this page is read from the standby, which does not hear of the primary.
shops-reads-primary = The standby is away: this page is read from the primary.
shops-reads-not-added = The primary is away: what arrived since somebody last looked is not in these figures.
shops-models = Outcomes by vehicle model
shops-one = Shop
shops-since = From month
shops-until = To month
shops-back = All shops
shops-joined = Joined
shops-arrived = Entries that arrived
shops-signed = Entries signed
shops-log = Its log here
shops-log-is = number { $number }
shops-last = Last heard of
shops-version-is = Version
shops-id = Its name in messages
shops-again = A code to join anew
shops-again-what = For a shop that was put back from a backup, or whose log was refused as rewritten. It keeps its name and all that arrived, and sends its log once more.
shops-out = Take this shop out
shops-out-what = Nothing is taken from it any more until it joins anew. What has arrived stays.
shops-why-apart = Kept apart
shops-readers = Who sees which regions
shops-readers-what = A manager of whom nothing is said here sees every region; everybody else sees what is given to them.
shops-regions = Regions, with commas between
shops-regions-save = Save

## owner
owner-title = For the vehicle's owner
owner-order = Repair order
owner-day = Finished on
owner-why = Why this was needed
owner-why-text = The cameras and radars by which your vehicle sees must know exactly where they point. After this work they had to be set again:
owner-done = What was done
owner-is-done = set, as the scan tool reports
owner-is-failed = tried, and not reached
owner-is-not-run = not done
owner-know = What you should know
owner-open = Something is still open.
owner-open-text = Until it is done, assistance functions may act late, wrongly or not at all. Drive as if they were not there, and ask us for a date.
owner-more = { $count ->
    [one] One more point is in the full record.
   *[other] { $count } more points are in the full record.
}
owner-assist = Assistance functions help and do not drive. Read in your vehicle's handbook what each of them can do, and where it ends.
owner-lamp = If a warning lamp comes on, or a function acts otherwise than before, stop using it and come back.
owner-amended = Added on { $at }:
owner-who = Who did it
owner-worked = Worked on by
owner-released = Released by
owner-full = The full record, with every reading and how sure it is, is kept by the shop. You may ask for it.
owner-pdf = This page as PDF

## privacy
privacy-title = A vehicle's owner
privacy-lead = Who asks what this shop holds of them, or wants it erased, names the vehicle. Only a manager sees this page.
privacy-find = Show what is held
privacy-kept = After a job's end, VIN, repair order and typed texts are kept for { $vehicle ->
    [0] good
   *[other] { $vehicle } days
  }, photos for { $photos ->
    [0] good
   *[other] { $photos } days
  }.
privacy-export = Save all of it as one file
privacy-export-what = What was written down, the steps, everything that was recorded, and the photos, for the owner to take along.
privacy-erase = Erase it
privacy-erase-what = VIN, repair order, everything that was typed, and the photos go from this shop for good. What was done and how long it took stays, without the vehicle. Phones drop theirs when they next hear of the shop. Records that were handed out still prove themselves. Older backups hold it until they are made anew.
privacy-reason = Why is it erased?
privacy-erase-button = Erase for good
privacy-erased = { $count ->
    [one] Erased from one job.
   *[other] Erased from { $count } jobs.
  }
privacy-erased-more = Make a backup in a new folder, and throw older ones away.
record-erased = Personal data was erased on { $at }.
record-erased-vehicle = VIN, repair order and what was typed are not kept any more.
record-erased-photos = The photos are not kept any more.
record-erased-vehicle-photos = VIN, repair order, what was typed and the photos are not kept any more.
check-later-erased = On { $at } the vehicle owner's data was erased here. What was handed out before still stands.
check-why-erased = the vehicle owner's data was erased

## releases
releases-title = Releases of head office
releases-lead = Procedures and vehicle figures that head office releases. Nothing changes here before a supervisor or a manager has approved it.
releases-number = Release { $number }
releases-came-along = What came along
releases-came-along-what = The procedures that this shop had before any release: Baybook's own, or those of its own folder.
releases-trouble = Release { $number } was taken up, but this Baybook cannot work with it: what came along is worked by.
releases-refused = Head office's newest release was not taken.
releases-refused-what = Nothing has changed here ({ $at }). It is asked for again by itself.
releases-waits = Release { $number } waits for a decision.
releases-look = Look at what changes
releases-pending = { $count ->
    [0] Release { $number } is approved and is taken up within seconds.
    [one] Release { $number } is approved and is taken up once no job is running; one is.
   *[other] Release { $number } is approved and is taken up once no job is running; { $count } are.
}
releases-in-use = Jobs are planned by: { $what }
releases-since = Since { $at }.
releases-sheets = A job that is running keeps the steps that it was begun with.
releases-ask = Ask head office now
releases-asked = Last asked: { $at }
releases-all = Releases
releases-none = None was fetched yet.
releases-was-approved = Approved by { $name }, { $at }.
releases-was-declined = Declined by { $name }, { $at }:
releases-made = Released by { $name }, { $at }.
releases-used = Worked by since { $at }.
releases-unfit = This Baybook cannot work with it.
releases-clashes = Vehicles of the shop's own
releases-clash-stays = The release has other figures of it. The shop's own, revision { $revision }, stay in place of them.
releases-clash-unfit = With this release the shop's own figures could not be worked with: { $why }
releases-changes = What changes against: { $what }
releases-same = Nothing differs.
releases-approve = Approve
releases-approve-lead = Look at what changes first. From then on jobs are planned by it, phones fetch it, and a job in planning is planned anew. Jobs that are running keep their steps.
releases-running = { $count ->
    [one] One job is running.
   *[other] { $count } jobs are running.
}
releases-when = When is it taken up?
releases-when-quiet = Once no job is running
releases-when-now = At once, for the next job
releases-approve-button = Approve this release
releases-decline = Not take it up
releases-decline-lead = Head office is told who declined it and why. It can be approved later all the same.
releases-decline-why = Why not?
releases-decline-button = Decline this release
releases-link = Procedures from head office
changes-at = At “{ $step }”:
changes-becomes = { $way }: “{ $before }” becomes “{ $after }”
changes-set = { $way }: “{ $after }” is new.
changes-unset = { $way }: “{ $before }” is gone.
changes-order = { $way }: another order, from { $before } to { $after }
changes-revision = Revision { $before } becomes revision { $after }.
changes-step-new = New step: “{ $name }”
changes-step-gone = Step gone: “{ $name }”
changes-step-order = The steps stand in another order, now: { $after }
changes-step = Step: “{ $name }”
changes-spec = Figures for: { $name }
changes-used-by = Shared part { $name }, used in: { $after }
changes-translation = “{ $text }”: “{ $before }” becomes “{ $after }”
changes-layout = Only comments or layout differ; nothing that is worked by.
changes-otherwise = The file changed in a way that cannot be said in words here.
changes-whole = All of it.
changes-state-new = new
changes-state-gone = gone
changes-state-changed = changed
changes-sort-procedure = procedure
changes-sort-vehicle = vehicle
changes-sort-fragments = shared steps
changes-sort-catalogue = catalogue
changes-sort-translation = translation
changes-title-fragments = Steps that procedures share
changes-title-catalogue = Targets, spots and cautions
changes-field-above = Above the floor at
changes-field-after = Comes after
changes-field-ahead = Ahead
changes-field-area = Clear floor
changes-field-as = Called
changes-field-ask = Question
changes-field-asks = Answer's name
changes-field-bar = Bar
changes-field-behind = Behind
changes-field-between-hubs = Between the hubs
changes-field-blocks = What must be put right first
changes-field-button = Button
changes-field-cause = Cause
changes-field-causes = Known causes
changes-field-caution = Cautions
changes-field-cautions = Cautions
changes-field-check = How to find out
changes-field-compare = Comparison
changes-field-contacts = Heights at the tyres
changes-field-do = Instruction
changes-field-drawing = Drawing
changes-field-due-when = Due when
changes-field-each-side = Each side
changes-field-expect = Usual time
changes-field-figures = Figures
changes-field-fragments = Shared steps
changes-field-front-overhang = Front overhang
changes-field-hazard = Hazard
changes-field-height = Height
changes-field-high = Highest
changes-field-hold = Countersigned for
changes-field-home = Home
changes-field-hubs = Hubs
changes-field-id = Name
changes-field-instrument = Instrument
changes-field-kind = Kind of step
changes-field-label = Label
changes-field-length = Length
changes-field-likely = How often
changes-field-limits = Limits
changes-field-low = Lowest
changes-field-maker = Maker
changes-field-measure = Measurement
changes-field-method = Method
changes-field-mistakes = Known mistakes
changes-field-mode = Mode
changes-field-model = Model
changes-field-name = Name
changes-field-needs = Figures that it needs
changes-field-nominal = Nominal
changes-field-of = Of
changes-field-only-if = Only if
changes-field-options = Answers
changes-field-outline = Size
changes-field-pairs = What belongs where
changes-field-photo = Photo
changes-field-placements = Where the targets stand
changes-field-points = Points
changes-field-procedure = Procedure
changes-field-qualifiers = Questions
changes-field-readings = Readings
changes-field-redo = Step to go back to
changes-field-reference = Counts from
changes-field-revision = Revision
changes-field-sensor = Sensor
changes-field-set-up = Set-up
changes-field-short = Short text
changes-field-signal = Signal word
changes-field-size = Size
changes-field-sort = Sort
changes-field-source = Source
changes-field-specs = Figures for
changes-field-spot = Spot
changes-field-spots = Spots
changes-field-steps = Steps
changes-field-takes = Takes
changes-field-target = Target
changes-field-targets = Targets
changes-field-title = Title
changes-field-tolerance = Tolerance
changes-field-track = Track
changes-field-track-front = Track, front
changes-field-track-rear = Track, rear
changes-field-u = Uncertainty
changes-field-unit = Unit
changes-field-unless = Not with
changes-field-use = Shared part
changes-field-value = Value
changes-field-variants = Other figures
changes-field-vehicle = Vehicle
changes-field-vin = VIN pattern
changes-field-wait = Wait
changes-field-wheelbase = Wheelbase
changes-field-when = Only with
changes-field-where = Part of
changes-field-why = Reason
changes-field-width = Width
changes-field-x = x
changes-field-y = y
changes-field-yaw = Yaw
changes-field-years = Years
office-releases = Releases
office-releases-lead = What shops plan their jobs by. A release is never changed; each shop fetches it by itself and decides on it.
office-releases-made = Release { $number } is made. Shops fetch it by themselves.
office-releases-none = Nothing was released yet: each shop works by what came along.
office-releases-using = { $count } of { $shops } shops work by it
office-release-now = A new release
office-release-what = What is released are head office's own procedures, as they lie in this folder:
office-release-unfit = They cannot be released as they are.
office-release-same = Nothing there differs from the last release.
office-release-files = { $count } files.
office-release-note = Why is it released?
office-release-note-help = Every shop reads it beside what changes.
office-release-button = Release to all shops
office-release-behind = Shops that do not work by it yet
office-release-using = Shops that work by it
office-release-answers = What shops decided
shops-release = works by release { $number }
shops-release-none = works by what came along
shops-release-behind = release { $number } is newer
shops-works-by = Procedures
plan-anew = The procedures changed on { $at }, after this job was begun: it is planned anew. Look through the plan once more.
