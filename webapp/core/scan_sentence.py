"""The advice of a scan as one plain English sentence, for the command line; pages word it from the message files."""

from .scan import ScanResult

SENTENCES = {
    "scan-spot": "{target} is right: now scan {spot}",
    "scan-target": "{spot} is right: now scan {target}",
    "next-pair": "In place, {left} to go: scan {wanted}",
    "all-placed": "In place, and nothing is left: go on with the work",
    "take-target": "{scanned} is not for this place: put it aside, then {then}",
    "move-target": "{target} belongs in {spot}, not in {here}: move it, then scan {spot}",
    "swap-targets": "{target} belongs in {spot}, and {here} takes {other}: change them over, then scan {spot}",
    "already-placed": "{scanned} is in place already{at}: {then}",
    "put-back": "{scanned} is not part of this job: put it back, then {then}",
    "leave-spot": "{scanned} is not part of this job: {then}",
    "replace": "{scanned} is {why}: take it out of service, {rest}",
    "other-kind": "That label is on a {kind}: {then}",
    "not-ours": "That is not one of this shop's labels: {then}",
    "not-in-kit": "This shop's kit has no {scanned}: put it aside, then {then}",
    "scan-again": "The label could not be read: wipe it, come nearer and scan it again, or type the text beneath it",
}
REASONS = {"damaged": "damaged", "overdue": "overdue for inspection"}


def sentence(result: ScanResult) -> str:
    """Return what to do next, in one sentence without a full stop. Every ``do`` of a ScanResult has one."""
    words = result.next
    wanted, where, instead = words.get("wanted"), words.get("where"), words.get("instead")
    made = {
        "then": f"scan {wanted}" if wanted else "go on, nothing is left to scan here",
        "at": f", in {where}" if where else "",
        "rest": f"then take {instead} and scan it" if instead else "and ask a supervisor for another",
        "why": REASONS.get(words.get("why", "")),
    }
    return SENTENCES[words["do"]].format(**{**words, **made})
