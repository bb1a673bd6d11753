"""What the demo tells of its three jobs: invented, in days before today and hours of the day."""

from __future__ import annotations

from dataclasses import dataclass

# What was tightened or checked, asked for, found, with what, by whom, seen by whom.
Signed = tuple[str, str, str, str, str, str]


@dataclass(frozen=True)
class StepStory:
    """Work on one step: by whom, its hours as (day, hour, hours), what was signed, whether it is finished,
    and why somebody went on while something was open."""

    title: str
    who: str
    time_entries: tuple[tuple[int, float, float], ...]
    finished: bool = True
    parts_from: str = ""
    signed: tuple[Signed, ...] = ()
    because: str = ""


@dataclass(frozen=True)
class AddedStep:
    """A step of this job alone: the titles of the steps that it comes after, and of one that comes after it."""

    title: str
    text: str
    hours: str
    who: str
    after: tuple[str, ...]
    before: str


@dataclass(frozen=True)
class JobStory:
    """One job on a job template: what lies beside it, which parts were chosen, what was decided and done.

    Worksheets of `components` join the job, and the step `rests_on` waits until each of them holds.
    """

    vehicle: str
    title: str
    asked_for: str
    template: str
    opened: int
    wanted: int
    steps: tuple[StepStory, ...]
    decided: tuple[tuple[str, str], ...] = ()
    set_aside: tuple[tuple[str, str, str, str], ...] = ()
    chosen: tuple[tuple[str, str], ...] = ()
    torques: tuple[tuple[str, str, str], ...] = ()
    components: tuple[str, ...] = ()
    rests_on: str = ""
    approved: tuple[tuple[str, str, str, str, int], ...] = ()
    added: tuple[AddedStep, ...] = ()


TARN = JobStory(
    vehicle="tarn",
    title="Teskel five-speed behind the Orvane V6",
    asked_for=(
        "A fifth gear for the motorway, and a box that stands the torque.\n\n"
        "- keeps the column-length shifter reach\n- tows 1.4 t\n- old four-speed back to the customer"
    ),
    template="gearbox_with_plate",
    opened=120,
    wanted=45,
    components=("V6-30", "QZ-5", "AP-01 V6-30 to QZ-5", "D240-22", "C240-62"),
    rests_on="Final assembly",
    decided=(
        (
            "Which side does the plate locate on, and with which dowels?",
            "Engine dowels carry the plate; two 12 mm for the box.",
        ),
        (
            "Which flywheel, clutch and release?",
            "The engine's own flywheel redrilled, 240 mm Dunmere kit, ring-shaped release bearing.",
        ),
    ),
    set_aside=(
        ("QZ-5", "TK-0917", "gearbox", "cradle 2"),
        ("AP-01 V6-30 to QZ-5", "AP-01/1", "plate", "bench by the mill"),
        ("V6-30 flywheel", "FW-2", "flywheel", "shelf C3"),
        ("D240-22", "22-A", "clutch disc", "shelf C3, boxed"),
    ),
    chosen=(("Clutch master cylinder", "MC-19"), ("Release bearing and slave", "RB-52"), ("Clutch kit", "C240-62")),
    torques=(
        ("V6-30", "flywheel to crank", "Final assembly"),
        ("C240-62", "clutch cover to flywheel", "Final assembly"),
        ("AP-01 V6-30 to QZ-5", "plate to block", "Final assembly"),
        ("QZ-5", "bellhousing to plate", "Final assembly"),
    ),
    steps=(
        StepStory(
            "Measure both faces and both shafts",
            "tibor",
            ((-118, 8, 4.5), (-117, 8, 3.75)),
            signed=(
                (
                    "block face against the straight edge",
                    "0.05 mm at most",
                    "0.03 mm",
                    "feeler set 2",
                    "tibor",
                    "jonas",
                ),
            ),
        ),
        StepStory("Decide whether they mate, and what must be made", "hedda", ((-112, 9, 3),)),
        StepStory("Design plate, flywheel and pilot", "tibor", ((-105, 8, 6), (-104, 8, 5.5))),
        StepStory("Order plate blank, clutch, bolts and hydraulics", "wren", ((-104, 10, 1.5),)),
        StepStory("Strip the vehicle", "jonas", ((-60, 8, 6), (-59, 8, 3.25))),
        StepStory(
            "Make the plate",
            "tibor",
            ((-38, 8, 7), (-37, 8, 4)),
            parts_from="blank from the rack, dowels from the drawer",
            signed=(
                ("register to dowel line", "0.02 mm at most", "0.015 mm", "dial gauge 3", "tibor", "ama"),
                (
                    "plate thickness at eight places",
                    "19.90 to 20.00 mm",
                    "19.96 to 19.98 mm",
                    "micrometer 0–25",
                    "tibor",
                    "ama",
                ),
            ),
        ),
        StepStory(
            "Machine and balance the flywheel",
            "tibor",
            ((-6, 8, 2.5), (-5, 13, 1)),
            finished=False,
            because="crack test and pattern first",
        ),
        StepStory("Pedal and release hydraulics", "ama", ((-3, 9, 2),), finished=False, because="bulkhead plate first"),
    ),
    added=(
        AddedStep(
            "Make up the loom for interlock, lamps and speed signal",
            "On the bench, from the old column loom.\n\n"
            "- two leads to the pedal switch, in series with the starter relay\n"
            "- lamp switch leads long enough for the new box\n- mark both ends",
            "3.5",
            "jonas",
            ("Strip the vehicle",),
            "Electrics: start interlock, reversing lamps, speed signal",
        ),
    ),
)

VELDRA = JobStory(
    vehicle="veldra",
    title="Manual gearbox in place of the automatic",
    asked_for="A clutch pedal and five gears. The automatic stays complete: it goes back with the car.",
    template="automatic_to_manual",
    opened=34,
    wanted=120,
    decided=(
        ("Which gearbox and which ratios?", "Teskel QZ-5, standard ratios: fourth is direct, fifth for the motorway."),
        ("Which clutch, for how much torque?", "240 mm, for 260 N·m with half as much again in hand."),
    ),
    set_aside=(("QZ-5", "TK-1033", "gearbox", "under the stairs, crated"),),
    chosen=(("Clutch master cylinder", "MC-19"), ("Slave cylinder or hydraulic release bearing", "RB-52")),
    torques=(("QZ-5", "bellhousing to gear case", "Final assembly of flywheel, clutch and gearbox"),),
    steps=(
        StepStory("Measure both sides and write it down", "tibor", ((-30, 8, 4), (-29, 8, 2.5))),
        StepStory("Decide gearbox, clutch and final drive", "hedda", ((-22, 15, 1.5),)),
    ),
)

CARTER = JobStory(
    vehicle="carter",
    title="Propshaft and mounts after the V6",
    asked_for="Shakes at 80 km/h since the V6 went in. Wanted back for the season.",
    template="propshaft_and_mounts",
    opened=58,
    wanted=6,
    components=("P-88 two-joint shaft", "GM-02 gearbox mount"),
    rests_on="Road test",
    decided=(
        (
            "One piece or two, and which joints?",
            "One piece with larger joints, as long as the worksheet keeps it under its whirling speed.",
        ),
        (
            "Angles and clearances measured, shaft length confirmed?",
            "Yes: 2.1° and 2.0°, length confirmed to the maker by mail.",
        ),
    ),
    torques=(("P-88 two-joint shaft", "rear flange to pinion", "Fit mounts and shaft for good"),),
    approved=(("structure", "Marta Veld", "station 119", "inspection report 2207, blue folder of the job", 7),),
    steps=(
        StepStory("Measure angles, lengths and what is in the way", "jonas", ((-55, 8, 2.5),)),
        StepStory("Decide mounts, shaft and centre bearing", "hedda", ((-53, 11, 1),)),
        StepStory("Design mounts and crossmember", "tibor", ((-50, 8, 4.5),)),
        StepStory("Order shaft and mounts", "wren", ((-50, 9, 0.75),)),
        StepStory("Make brackets and crossmember", "tibor", ((-34, 8, 7),)),
        StepStory("Take out the shaft and the old mounts", "ama", ((-33, 8, 3.5),)),
        StepStory("Trial fit and angles", "ama", ((-31, 8, 4.25),), parts_from="rubber blocks from the shelf"),
        StepStory("Tunnel and shifter where they foul", "jonas", ((-24, 13, 2),)),
        StepStory(
            "Fit mounts and shaft for good",
            "jonas",
            ((-9, 8, 3.5),),
            parts_from="delivered to the yard with the van",
            signed=(
                ("rear flange to pinion", "", "45 lbf ft", "wrench 2", "jonas", "ama"),
                (
                    "Joint angles with the weight on",
                    "within 1° of each other",
                    "2.1° and 2.0°",
                    "inclinometer",
                    "jonas",
                    "ama",
                ),
                (
                    "Propshaft bolted at both ends, hoop and shield fitted",
                    "",
                    "both flanges, hoop on its own bolts",
                    "by eye and hand",
                    "jonas",
                    "ama",
                ),
            ),
        ),
        StepStory("Electrics that moved with it", "ama", ((-8, 9, 1.5),)),
        StepStory("Fill the gearbox", "ama", ((-8, 11, 0.5),)),
        StepStory(
            "Checks by hand before it runs",
            "jonas",
            ((-2, 14, 1),),
            finished=False,
            signed=(
                (
                    "Shaft turned by hand at bump and at droop",
                    "",
                    "nothing touches, 14 mm to the hoop",
                    "by hand",
                    "jonas",
                    "",
                ),
            ),
        ),
    ),
)

JOBS = (TARN, VELDRA, CARTER)

# Title, what to know, about which components, learned on which vehicle, at which step.
LESSONS = (
    (
        "Upper bellhousing bolt comes from above",
        "Take the shifter plate off first: a 600 mm extension reaches the top bolt through the hole. "
        "From below there is no room for a wrench.",
        ("QZ-5",),
        "tarn",
        "Strip the vehicle",
    ),
    (
        "Sweep the register with the plate torqued, not finger-tight",
        "It moved 0.06 mm between the two. We made a stub for the dial gauge that bolts to the crank flange: "
        "drawer 4, marked OV.",
        ("AP-01 V6-30 to QZ-5", "V6-30"),
        "tarn",
        "Make the plate",
    ),
    (
        "Order the shaft only after the trial fit",
        "The angles on the drawing were half a degree out, and 4 mm of length with them. "
        "The maker waits gladly for two days.",
        ("P-88 two-joint shaft",),
        "carter",
        "Trial fit and angles",
    ),
    (
        "Undo the loom clip before the engine is lowered",
        "The clip behind the left bank holds the lamp switch leads. They pull out of the plug without showing it.",
        (),
        "carter",
        "Take out the shaft and the old mounts",
    ),
)
