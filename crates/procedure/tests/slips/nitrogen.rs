//! A second procedure written from the guide, for a nitrogen regulator with two diaphragms, and the slips its author makes:
//! units, swapped steps, things forgotten. Each is found at its place, and doing what its remedy says clears it.

use reseat_procedure::check;

use crate::found::{Slip, each_is_found_and_mended, told};

const WRITTEN: &str = include_str!("../blanketing_regulator.json");

const SLIPS: &[Slip] = &[
    // Nothing is read on one side.
    Slip {
        put: (
            "\"asks\": [{\"reading\": {\"id\": \"zero-2\", \"label\": \"tank vapour space\", \"window\": \"-2..2 mbar g\", \"instruments\": [\"PG-2\"], \"proves\": \"tank vapour space\"}}], ",
            "",
        ),
        code: "asks-differ",
        at: "\"id\": \"read-2\"",
        mark: "",
        remedy: "Ask a reading that proves the side",
        mend: (
            "{\"id\": \"read-2\", \"text\": \"Read tank vapour space on PG-2.\", ",
            "{\"id\": \"read-2\", \"text\": \"Read tank vapour space on PG-2.\", \"asks\": [{\"reading\": {\"id\": \"zero-2\", \"label\": \"tank vapour space\", \"window\": \"-2..2 mbar g\", \"instruments\": [\"PG-2\"], \"proves\": \"tank vapour space\"}}], ",
        ),
    },
    // The window in another unit than the passes.
    Slip {
        put: ("\"window\": \"9..11 N·m\"", "\"window\": \"8..8.5 lbf·ft\""),
        code: "pass-outside-window",
        at: "{\"id\": \"J1\", \"label\"",
        mark: "\"10.0 N·m\"",
        remedy: "write both in the unit of the wrench",
        mend: ("\"window\": \"8..8.5 lbf·ft\"", "\"window\": \"9..11 N·m\""),
    },
    // Bar for millibar in the limits of zero.
    Slip {
        put: (
            "\"window\": \"-2..2 mbar g\", \"vent\"",
            "\"window\": \"-2..2 bar g\", \"vent\"",
        ),
        code: "zero-window-wide",
        at: "\"instrument\": \"PG-2\", \"window\"",
        mark: "\"-2..2 bar g\"",
        remedy: "in the unit of PG-2",
        mend: ("\"-2..2 bar g\"", "\"-2..2 mbar g\""),
    },
    // One side has two pairs of limits.
    Slip {
        put: (
            "\"label\": \"tank vapour space\", \"window\": \"-2..2 mbar g\"",
            "\"label\": \"tank vapour space\", \"window\": \"-2..20 mbar g\"",
        ),
        code: "zero-window-differs",
        at: "\"id\": \"read-2\"",
        mark: "\"-2..20 mbar g\"",
        remedy: "the same limits in both places",
        mend: ("\"-2..20 mbar g\"", "\"-2..2 mbar g\""),
    },
    // Kilopascal for bar in the test.
    Slip {
        put: (
            "\"pressure\": \"7 bar g\", \"gauge\"",
            "\"pressure\": \"7 kPa g\", \"gauge\"",
        ),
        code: "not-tested",
        at: "\"id\": \"raise\"",
        mark: "",
        remedy: "Raise it to 7 bar g",
        mend: ("\"pressure\": \"7 kPa g\"", "\"pressure\": \"7 bar g\""),
    },
    // Two steps of the test have changed places.
    Slip {
        put: (
            "        {\"id\": \"shut-drain-2\", \"text\": \"Shut VN-B for the test.\", \"does\": [{\"restore\": \"VN-B\"}]},\n        {\"id\": \"raise\", \"text\": \"Raise the test pressure to 7 bar g.\", \"lets_in\": \"test pressure 7 bar g\", \"does\": [{\"let_in\": {\"chamber\": \"body\", \"pressure\": \"7 bar g\", \"gauge\": \"PG-T\"}}]},\n",
            "        {\"id\": \"raise\", \"text\": \"Raise the test pressure to 7 bar g.\", \"lets_in\": \"test pressure 7 bar g\", \"does\": [{\"let_in\": {\"chamber\": \"body\", \"pressure\": \"7 bar g\", \"gauge\": \"PG-T\"}}]},\n        {\"id\": \"shut-drain-2\", \"text\": \"Shut VN-B for the test.\", \"does\": [{\"restore\": \"VN-B\"}]},\n",
        ),
        code: "drain-open-in-test",
        at: "\"id\": \"raise\"",
        mark: "",
        remedy: "Shut the drain in an earlier step",
        mend: (
            "        {\"id\": \"raise\", \"text\": \"Raise the test pressure to 7 bar g.\", \"lets_in\": \"test pressure 7 bar g\", \"does\": [{\"let_in\": {\"chamber\": \"body\", \"pressure\": \"7 bar g\", \"gauge\": \"PG-T\"}}]},\n        {\"id\": \"shut-drain-2\", \"text\": \"Shut VN-B for the test.\", \"does\": [{\"restore\": \"VN-B\"}]},\n",
            "        {\"id\": \"shut-drain-2\", \"text\": \"Shut VN-B for the test.\", \"does\": [{\"restore\": \"VN-B\"}]},\n        {\"id\": \"raise\", \"text\": \"Raise the test pressure to 7 bar g.\", \"lets_in\": \"test pressure 7 bar g\", \"does\": [{\"let_in\": {\"chamber\": \"body\", \"pressure\": \"7 bar g\", \"gauge\": \"PG-T\"}}]},\n",
        ),
    },
    // The look has come behind the vent.
    Slip {
        put: (
            "        {\"id\": \"look\", \"text\": \"Look at each joint under 7 bar g.\", \"asks\": [{\"choice\": {\"question\": \"J1 diaphragm case?\", \"answers\": [{\"label\": \"dry\"}, {\"label\": \"leaks\", \"leads\": \"finding\"}]}}, {\"choice\": {\"question\": \"J2 seat nozzle?\", \"answers\": [{\"label\": \"dry\"}, {\"label\": \"leaks\", \"leads\": \"finding\"}]}}], \"does\": [\"test\"]},\n        {\"id\": \"vent-test\", \"text\": \"Vent the test pressure to zero.\", \"safer\": true, \"does\": [{\"let_out\": \"body\"}, {\"isolate\": \"VN-A\"}, {\"isolate\": \"VN-B\"}]},\n",
            "        {\"id\": \"vent-test\", \"text\": \"Vent the test pressure to zero.\", \"safer\": true, \"does\": [{\"let_out\": \"body\"}, {\"isolate\": \"VN-A\"}, {\"isolate\": \"VN-B\"}]},\n        {\"id\": \"look\", \"text\": \"Look at each joint under 7 bar g.\", \"asks\": [{\"choice\": {\"question\": \"J1 diaphragm case?\", \"answers\": [{\"label\": \"dry\"}, {\"label\": \"leaks\", \"leads\": \"finding\"}]}}, {\"choice\": {\"question\": \"J2 seat nozzle?\", \"answers\": [{\"label\": \"dry\"}, {\"label\": \"leaks\", \"leads\": \"finding\"}]}}], \"does\": [\"test\"]},\n",
        ),
        code: "not-tested",
        at: "\"id\": \"raise\"",
        mark: "",
        remedy: "in a step before it is vented",
        mend: (
            "        {\"id\": \"vent-test\", \"text\": \"Vent the test pressure to zero.\", \"safer\": true, \"does\": [{\"let_out\": \"body\"}, {\"isolate\": \"VN-A\"}, {\"isolate\": \"VN-B\"}]},\n        {\"id\": \"look\", \"text\": \"Look at each joint under 7 bar g.\", \"asks\": [{\"choice\": {\"question\": \"J1 diaphragm case?\", \"answers\": [{\"label\": \"dry\"}, {\"label\": \"leaks\", \"leads\": \"finding\"}]}}, {\"choice\": {\"question\": \"J2 seat nozzle?\", \"answers\": [{\"label\": \"dry\"}, {\"label\": \"leaks\", \"leads\": \"finding\"}]}}], \"does\": [\"test\"]},\n",
            "        {\"id\": \"look\", \"text\": \"Look at each joint under 7 bar g.\", \"asks\": [{\"choice\": {\"question\": \"J1 diaphragm case?\", \"answers\": [{\"label\": \"dry\"}, {\"label\": \"leaks\", \"leads\": \"finding\"}]}}, {\"choice\": {\"question\": \"J2 seat nozzle?\", \"answers\": [{\"label\": \"dry\"}, {\"label\": \"leaks\", \"leads\": \"finding\"}]}}], \"does\": [\"test\"]},\n        {\"id\": \"vent-test\", \"text\": \"Vent the test pressure to zero.\", \"safer\": true, \"does\": [{\"let_out\": \"body\"}, {\"isolate\": \"VN-A\"}, {\"isolate\": \"VN-B\"}]},\n",
        ),
    },
    // The anti-seize of the threads on a ring.
    Slip {
        put: ("\"with\": \"GR-2\"", "\"with\": \"NA-1\""),
        code: "lubricant-wrong",
        at: "\"id\": \"grease\"",
        mark: "",
        remedy: "Name GR-2 in this step",
        mend: (
            "{\"parts\": [\"nozzle ring\"], \"with\": \"NA-1\"}",
            "{\"parts\": [\"nozzle ring\"], \"with\": \"GR-2\"}",
        ),
    },
    // The grease of the ring on threads.
    Slip {
        put: (
            "{\"joints\": [\"J1\"], \"with\": \"NA-1\"}",
            "{\"joints\": [\"J1\"], \"with\": \"GR-2\"}",
        ),
        code: "lubricant-wrong",
        at: "\"id\": \"condition-J1\"",
        mark: "",
        remedy: "Name NA-1 in this step",
        mend: (
            "{\"joints\": [\"J1\"], \"with\": \"GR-2\"}",
            "{\"joints\": [\"J1\"], \"with\": \"NA-1\"}",
        ),
    },
    // The joint is never re-checked.
    Slip {
        put: (
            ",\n        {\"id\": \"recheck-J1\", \"text\": \"Re-check J1 one round at 10 N·m.\", \"asks\": [{\"recheck\": {\"joint\": \"J1\", \"at\": \"10 N·m\"}}], \"does\": [{\"recheck\": \"J1\"}]}",
            "",
        ),
        code: "test-too-early",
        at: "\"id\": \"look\"",
        mark: "",
        remedy: "Write the rest and the re-check before the test",
        mend: (
            "        {\"id\": \"rest\", \"text\": \"Rest for 1 h.\", \"asks\": [{\"rest\": {\"minutes\": 60}}], \"does\": [\"rest\"]}",
            "        {\"id\": \"rest\", \"text\": \"Rest for 1 h.\", \"asks\": [{\"rest\": {\"minutes\": 60}}], \"does\": [\"rest\"]},\n        {\"id\": \"recheck-J1\", \"text\": \"Re-check J1 one round at 10 N·m.\", \"asks\": [{\"recheck\": {\"joint\": \"J1\", \"at\": \"10 N·m\"}}], \"does\": [{\"recheck\": \"J1\"}]}",
        ),
    },
    // The rest is written in hours.
    Slip {
        put: ("\"rest\": {\"minutes\": 60}", "\"rest\": {\"minutes\": 1}"),
        code: "rest-too-short",
        at: "\"id\": \"rest\"",
        mark: "",
        remedy: "as long as the joint asks",
        mend: ("\"rest\": {\"minutes\": 1}", "\"rest\": {\"minutes\": 60}"),
    },
    // The torque of another joint.
    Slip {
        put: (
            "\"recheck\": {\"joint\": \"J1\", \"at\": \"10 N·m\"}",
            "\"recheck\": {\"joint\": \"J1\", \"at\": \"65 N·m\"}",
        ),
        code: "recheck-outside-window",
        at: "\"id\": \"recheck-J1\"",
        mark: "\"65 N·m\"",
        remedy: "Re-check at the target, 10.0 N·m",
        mend: ("\"at\": \"65 N·m\"", "\"at\": \"10.0 N·m\""),
    },
    // Nothing to wear.
    Slip {
        put: (
            "\"title\": \"Teardown\", \"energy\": \"zero\", \"ppe\": [\"glasses\"]",
            "\"title\": \"Teardown\", \"energy\": \"zero\"",
        ),
        code: "no-ppe",
        at: "\"title\": \"Teardown\"",
        mark: "\"Teardown\"",
        remedy: "List it in ppe",
        mend: (
            "\"title\": \"Teardown\", \"energy\": \"zero\"",
            "\"title\": \"Teardown\", \"energy\": \"zero\", \"ppe\": [\"glasses\", \"gloves\"]",
        ),
    },
    // A window for one of two diaphragms alone.
    Slip {
        put: (
            "\"clamps\": [\"diaphragm case\"], \"boundary\": \"body\"",
            "\"clamps\": [\"diaphragm case\"], \"boundary\": \"body\", \"when\": {\"rubber\": [\"nbr\"]}",
        ),
        code: "no-window",
        at: "\"id\": \"slacken-J1\"",
        mark: "",
        remedy: "Give the joint a window for this choice",
        mend: (
            "\"when\": {\"rubber\": [\"nbr\"]}},\n    {\"id\": \"J2\"",
            "\"when\": {\"rubber\": [\"nbr\", \"fkm\"]}},\n    {\"id\": \"J2\"",
        ),
    },
    // One of two diaphragms is never fitted.
    Slip {
        put: (
            "        {\"id\": \"diaphragm-on-fkm\", \"text\": \"Fit the new diaphragm, convolution up.\", \"verify\": \"concurrent\", \"asks\": [\"done\", {\"orientation\": {\"question\": \"Which face do you see?\", \"answers\": [\"the cloth\", \"the smooth rubber\", \"neither\"], \"right\": \"the cloth\"}}], \"does\": [{\"on\": {\"part\": \"diaphragm-fkm\"}}, {\"verify\": [\"diaphragm-fkm\"]}], \"when\": {\"rubber\": [\"fkm\"]}},\n",
            "",
        ),
        code: "part-not-refitted",
        at: "\"id\": \"diaphragm-off-fkm\"",
        mark: "",
        remedy: "Write the step that fits it",
        mend: (
            "        {\"id\": \"spring-on\"",
            "        {\"id\": \"diaphragm-on-fkm\", \"text\": \"Fit the new diaphragm, convolution up.\", \"verify\": \"concurrent\", \"asks\": [\"done\", {\"orientation\": {\"question\": \"Which face do you see?\", \"answers\": [\"the cloth\", \"the smooth rubber\", \"neither\"], \"right\": \"the cloth\"}}], \"does\": [{\"on\": {\"part\": \"diaphragm-fkm\"}}, {\"verify\": [\"diaphragm-fkm\"]}], \"when\": {\"rubber\": [\"fkm\"]}},\n        {\"id\": \"spring-on\"",
        ),
    },
    // The spring is never relieved.
    Slip {
        put: (
            "        {\"id\": \"back-off\", \"text\": \"Back the setting screw off until it turns free.\", \"asks\": [{\"count\": {\"question\": \"Turns back?\"}}], \"does\": [{\"release\": \"loading spring\"}]},\n",
            "",
        ),
        code: "energy-not-released",
        at: "\"id\": \"slacken-J1\"",
        mark: "",
        remedy: "Release stored energy in the make-safe section",
        mend: (
            "        {\"id\": \"zero\"",
            "        {\"id\": \"back-off\", \"text\": \"Back the setting screw off until it turns free.\", \"asks\": [{\"count\": {\"question\": \"Turns back?\"}}], \"does\": [{\"release\": \"loading spring\"}]},\n        {\"id\": \"zero\"",
        ),
    },
    // A measurement is forgotten.
    Slip {
        put: (
            "        {\"id\": \"spring-length\", \"text\": \"Measure the free length of the loading spring.\", \"asks\": [{\"reading\": {\"id\": \"free-length\", \"label\": \"free length\", \"window\": \"61..63 mm\", \"instruments\": [\"CA-1\"]}}], \"does\": [{\"inspect\": [\"loading spring\"]}]},\n",
            "",
        ),
        code: "not-inspected",
        at: "\"id\": \"spring-on\"",
        mark: "",
        remedy: "Write the step that measures it",
        mend: (
            "        {\"id\": \"nozzle-look\"",
            "        {\"id\": \"spring-length\", \"text\": \"Measure the free length of the loading spring.\", \"asks\": [{\"reading\": {\"id\": \"free-length\", \"label\": \"free length\", \"window\": \"61..63 mm\", \"instruments\": [\"CA-1\"]}}], \"does\": [{\"inspect\": [\"loading spring\"]}]},\n        {\"id\": \"nozzle-look\"",
        ),
    },
    // The old diaphragm is never cut.
    Slip {
        put: (
            "        {\"id\": \"scrap\", \"text\": \"Cut the old diaphragm and ring for the scrap bag.\", \"does\": [\"scrap\"]},\n",
            "",
        ),
        code: "no-scrap",
        at: "\"id\": \"dispositions\"",
        mark: "",
        remedy: "Write the step that cuts or bags them",
        mend: (
            "        {\"id\": \"clean\"",
            "        {\"id\": \"scrap\", \"text\": \"Cut the old diaphragm and ring for the scrap bag.\", \"does\": [\"scrap\"]},\n        {\"id\": \"clean\"",
        ),
    },
    // Nobody balances the parts.
    Slip {
        put: (
            "        {\"id\": \"balance\", \"text\": \"Balance the parts.\", \"asks\": [\"balance\"]},\n",
            "",
        ),
        code: "no-balance",
        at: "\"id\": \"on-J1\"",
        mark: "",
        remedy: "Write a balance before the joint",
        mend: (
            "        {\"id\": \"on-J1\"",
            "        {\"id\": \"balance\", \"text\": \"Balance the parts.\", \"asks\": [\"balance\"]},\n        {\"id\": \"on-J1\"",
        ),
    },
    // Tools are counted too early.
    Slip {
        put: (
            "        {\"id\": \"tools-last\", \"text\": \"Count wrenches and rags again.\", \"asks\": [\"tools_out\"]},\n",
            "",
        ),
        code: "tools-not-counted",
        at: "\"id\": \"tighten-J3\"",
        mark: "",
        remedy: "Ask tools_out after this step",
        mend: (
            "        {\"id\": \"back\"",
            "        {\"id\": \"tools-last\", \"text\": \"Count wrenches and rags again.\", \"asks\": [\"tools_out\"]},\n        {\"id\": \"back\"",
        ),
    },
    // The word of another desk.
    Slip {
        put: ("Fit the new nozzle ring", "Install the new nozzle ring"),
        code: "verb-first",
        at: "\"id\": \"ring-on\"",
        mark: "\"Install",
        remedy: "Write fit",
        mend: ("Install the new nozzle ring", "Fit the new nozzle ring"),
    },
    // A refill watch that nobody ends.
    Slip {
        put: (
            "        {\"id\": \"lock-drain-1\"",
            "        {\"id\": \"watch\", \"text\": \"Shut VN-A for the refill watch.\", \"asks\": [\"done\", {\"wait\": {\"minutes\": 10}}], \"does\": [{\"restore\": \"VN-A\"}]},\n        {\"id\": \"read-again\", \"text\": \"Read nitrogen supply again.\", \"asks\": [{\"reading\": {\"id\": \"zero-1-again\", \"label\": \"nitrogen supply\", \"window\": \"-0.05..0.05 bar g\", \"instruments\": [\"PG-1\"], \"proves\": \"nitrogen supply\"}}], \"does\": [{\"prove\": \"nitrogen supply\"}]},\n        {\"id\": \"lock-drain-1\"",
        ),
        code: "locked-before-isolated",
        at: "\"id\": \"lock-drain-1\"",
        mark: "",
        remedy: "Open it again in an earlier step",
        mend: (
            "        {\"id\": \"lock-drain-1\"",
            "        {\"id\": \"open-again\", \"text\": \"Open VN-A again.\", \"safer\": true, \"does\": [{\"isolate\": \"VN-A\"}]},\n        {\"id\": \"lock-drain-1\"",
        ),
    },
];

#[test]
fn the_second_procedure_is_free_of_findings() {
    let findings = check(WRITTEN.as_bytes());
    assert!(findings.is_empty(), "{}", told(&findings));
}

#[test]
fn each_slip_of_a_new_author_is_found_at_its_place_with_a_remedy_that_works() {
    assert!(SLIPS.len() >= 15);
    each_is_found_and_mended(WRITTEN, SLIPS);
}
