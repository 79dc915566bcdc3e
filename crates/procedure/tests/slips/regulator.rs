//! A procedure written from the guide alone, by `reseat draft` and an editor, for an invented regulator; then slips put in
//! on purpose. Each is found at its place, and doing what its remedy says clears it.

use reseat_procedure::check;

use crate::found::{Slip, each_is_found_and_mended, told};

const WRITTEN: &str = include_str!("../written_from_the_guide.json");

const SLIPS: &[Slip] = &[
    // The new ring was forgotten.
    Slip {
        put: (
            "        {\"id\": \"ring-on\", \"text\": \"Fit the new EPDM ring without a twist.\", \"verify\": \"concurrent\", \"does\": [{\"on\": {\"part\": \"cap ring\"}}, {\"verify\": [\"cap ring\"]}]},\n",
            "",
        ),
        code: "part-not-refitted",
        at: "\"id\": \"ring-off\"",
        mark: "",
        remedy: "Write the step that fits it",
        mend: (
            "        {\"id\": \"diaphragm-on\"",
            "        {\"id\": \"new-ring\", \"text\": \"Press the new EPDM ring into its groove.\", \"verify\": \"concurrent\", \"does\": [{\"on\": {\"part\": \"cap ring\"}}, {\"verify\": [\"cap ring\"]}]},\n        {\"id\": \"diaphragm-on\"",
        ),
    },
    // Two passes changed places.
    Slip {
        put: (
            "[\"3.0 N·m\", \"6.0 N·m\", \"10.0 N·m\"]",
            "[\"6.0 N·m\", \"3.0 N·m\", \"10.0 N·m\"]",
        ),
        code: "pass-order",
        at: "{\"id\": \"J1\", \"label\": \"spring case\"",
        mark: "\"3.0 N·m\"",
        remedy: "Let each pass be above the one before",
        mend: (
            "[\"6.0 N·m\", \"3.0 N·m\", \"10.0 N·m\"]",
            "[\"4.0 N·m\", \"6.0 N·m\", \"10.0 N·m\"]",
        ),
    },
    // Straight to the wrench.
    Slip {
        put: (
            "        {\"id\": \"hand-J1\", \"text\": \"Hand-start 6 screws of J1, at least 3 turns each.\", \"does\": [{\"hand_start\": \"J1\"}]},\n",
            "",
        ),
        code: "no-hand-start",
        at: "\"id\": \"tighten-J1\"",
        mark: "",
        remedy: "by hand first, at least 3 turns",
        mend: (
            "        {\"id\": \"tighten-J1\"",
            "        {\"id\": \"by-hand\", \"text\": \"Run 6 screws down by hand, at least 3 turns each.\", \"does\": [{\"hand_start\": \"J1\"}]},\n        {\"id\": \"tighten-J1\"",
        ),
    },
    // A name typed wrong.
    Slip {
        put: ("\"wrenches\": [\"TW-4\"]", "\"wrenches\": [\"TW-44\"]"),
        code: "unknown-name",
        at: "{\"id\": \"J2\", \"label\": \"bottom cap\"",
        mark: "\"TW-44\"",
        remedy: "Did you mean \u{201c}TW-4\u{201d}?",
        mend: ("\"TW-44\"", "\"TW-4\""),
    },
    // A number without its unit.
    Slip {
        put: ("\"window\": \"9..11 N·m\"", "\"window\": \"9..11\""),
        code: "bad-window",
        at: "{\"id\": \"J1\", \"label\": \"spring case\"",
        mark: "\"9..11\"",
        remedy: "low, two dots, high, one space and unit",
        mend: ("\"window\": \"9..11\"", "\"window\": \"8.5..11 N·m\""),
    },
    // The act tells what is asked.
    Slip {
        put: (
            "Fit the valve disc, guide pin towards the seat.",
            "Fit the valve disc, threaded end down.",
        ),
        code: "orientation-given-away",
        at: "\"id\": \"disc-on\"",
        mark: "",
        remedy: "Ask an independent fact",
        mend: (
            "\"answers\": [\"a threaded hole\", \"a plain face\"], \"right\": \"a threaded hole\"",
            "\"answers\": [\"two dots\", \"a stamped number\"], \"right\": \"two dots\"",
        ),
    },
    // More than the body may see.
    Slip {
        put: (
            "\"pressure\": \"15 bar g\", \"gauge\"",
            "\"pressure\": \"24 bar g\", \"gauge\"",
        ),
        code: "test-over-limit",
        at: "\"id\": \"raise\"",
        mark: "",
        remedy: "Lower the pressure",
        mend: ("\"pressure\": \"24 bar g\"", "\"pressure\": \"15.5 bar g\""),
    },
    // A lock stays on.
    Slip {
        put: (
            "        {\"id\": \"unlock-2\", \"text\": \"Take lock L-3 off V-32.\", \"does\": [{\"unlock\": \"V-32\"}]},\n",
            "",
        ),
        code: "lock-left-on",
        at: "\"id\": \"lock-2\"",
        mark: "",
        remedy: "Write the step that takes it off on return",
        mend: (
            "        {\"id\": \"open-2\"",
            "        {\"id\": \"lock-off\", \"text\": \"Take L-3 off V-32.\", \"does\": [{\"unlock\": \"V-32\"}]},\n        {\"id\": \"open-2\"",
        ),
    },
    // Words for a figure.
    Slip {
        put: (
            "\"text\": \"Tighten J1.\"",
            "\"text\": \"Tighten J1 as required.\"",
        ),
        code: "vague-words",
        at: "\"id\": \"tighten-J1\"",
        mark: "\"Tighten J1 as required.\"",
        remedy: "Write the figure with its unit",
        mend: (
            "\"Tighten J1 as required.\"",
            "\"Tighten J1 in three passes to 10 N·m.\"",
        ),
    },
    // A count typed wrong.
    Slip {
        put: ("\"expected\": 6", "\"expected\": 5"),
        code: "count-differs",
        at: "\"id\": \"unfasten-J1\"",
        mark: "{\"count\"",
        remedy: "Expect 6",
        mend: ("\"expected\": 5", "\"expected\": 6"),
    },
    // A window that breaks the screws.
    Slip {
        put: ("\"window\": \"9..11 N·m\"", "\"window\": \"9..20 N·m\""),
        code: "over-75-percent",
        at: "{\"id\": \"J1\", \"label\": \"spring case\"",
        mark: "\"9..20 N·m\"",
        remedy: "Lower the top to",
        mend: ("\"window\": \"9..20 N·m\"", "\"window\": \"9..11.5 N·m\""),
    },
];

#[test]
fn what_was_written_from_the_guide_is_free_of_findings() {
    let findings = check(WRITTEN.as_bytes());
    assert!(findings.is_empty(), "{}", told(&findings));
}

#[test]
fn each_slip_is_found_at_its_place_with_a_remedy_that_works() {
    assert!(SLIPS.len() >= 10);
    each_is_found_and_mended(WRITTEN, SLIPS);
}
