## job
refused = That does not work.
job-day-check = Equipment check
job-line = { $settled } of { $of } steps settled. Open the list of steps.
job-section-shared = { $title } · for all { $count } calibrations
job-count = Step { $n } of { $of }
job-next = Next: { $what }
job-is-finished = This job is finished.
job-is-abandoned = This job was abandoned.
job-kept = kept by the shop
job-stale = That page was drawn earlier. Nothing was changed; here is the step at hand.
step-why = Why this matters
step-mistakes = Usual mistakes
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
verdict-short-inside = inside
verdict-short-recorded = kept
verdict-short-outside = outside
verdict-short-too-close-to-call = too close to call
measure-repeat = Reading no. { $count } of the same thing: the mean will count.
measure-misfit = The misfit is { $misfit }; more than 6.6 means that one tape was misread. Measure all four again.
measure-odd-one = The odd one out was: { $tape }.
repeats-none = Repeating will not settle it: a better method is needed, or a supervisor decides.
repeats-settle = { $count ->
    [one] One reading more
   *[other] { $count } readings
} with this mean would settle it.
repeats-unknown = Measure again: a second reading shows how far readings scatter.
limits-between = { $low } to { $high }
limits-at-most = at most { $value }
limits-at-least = at least { $value }
part = measured
part-value = value ± U
part-allowed = allowed
part-distance-mm = Distance
part-offset-mm = Offset, left positive
part-yaw-deg = Turn, left positive
part-along-mm-per-m = Fall along
part-across-mm-per-m = Fall across
part-residual-mm = Largest bump
part-thrust-deg = Thrust angle, right positive
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
reading-toe-left = left rear toe
reading-toe-right = right rear toe
advice-turn = Turn: left end { $left_end_mm } mm { $left_end ->
    [away] away from the vehicle, right end as much nearer
   *[nearer] nearer to the vehicle, right end as much away
}
advice-slide = Slide it { $mm } mm to the { $to ->
    [left] left
   *[right] right
}
advice-move = Move it { $mm } mm { $to ->
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
open-left-undone = left undone
open-not-run = not run
outcome-done = scan tool: done
outcome-failed = scan tool: failed
outcome-not-run = not run
fact-option = Answer: { $option }
fact-placed = { $target } on { $spot }
fact-countersigned = Countersigned by { $by }

## pages
nav-label = Pages
nav-today = Today
nav-times = Times
nav-kit = Kit
nav-people = People
nav-no-badge = no badge scanned
refused-back = Back
upload-too-large = photo is over 40 MB; take it again with less resolution, or type the label
page-unknown = There is no page { $path } here; the Today page leads to all of them.

## labels
labels-sheet-title = Baybook labels
labels-sheet-check = Measure this: { $length } mm. If it is not, print again at 100 %, without fitting to the page.
labels-sheet-about = Labels { $size } mm · page { $page } of { $pages }

## badge
badge-title = Who is working?
badge-now = { $name }, { $role }, has this phone.
badge-field = Your badge
badge-help = Scan it, or type the text beneath the code.
badge-button = This is me
badge-leave = Give the phone back
