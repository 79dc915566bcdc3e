//! How points stand while something is let in or tested, and cracks that are wanted though no chamber is closed.

use reseat_procedure::model::{Deed, Positions};
use reseat_procedure::{builtin, check, read};

const SOUND: &str = include_str!("cases/sound.json");

fn with(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "{from}");
    text.replace(from, to)
}

/// Errors and warnings: code and sentence.
fn found(text: &str) -> Vec<String> {
    check(text.as_bytes())
        .iter()
        .map(|finding| format!("{} {}", finding.code, finding.message))
        .collect()
}

/// The sound case with its hold as a wanted test that wants points so.
fn with_test(wants: &str) -> String {
    let text = with(
        SOUND,
        "\"chambers\": [",
        &format!(
            "\"tests\": [{{\"id\": \"hold\", \"label\": \"hold\", \"needs\": [\"body\"], {wants}}}],\n  \"chambers\": ["
        ),
    );
    with(
        &text,
        "\"does\": [\"test\"]",
        "\"does\": [{\"run\": \"hold\"}]",
    )
}

/// While 15 bar stand in the body, V-1 is shut and locked and drain 1 is shut.
#[test]
fn a_test_wants_its_points_open_or_shut() {
    let none: [&str; 0] = [];
    assert_eq!(found(&with_test("\"shut\": [\"drain 1\", \"V-1\"]")), none);
    assert_eq!(
        found(&with_test("\"open\": [\"drain 1\"]")),
        ["point-stands-wrong The test hold is done while drain 1 is shut."]
    );
    assert_eq!(
        found(&with_test("\"open\": [\"V-1\"], \"shut\": [\"drain 1\"]")),
        ["point-stands-wrong The test hold is done while V-1 is shut."]
    );
}

#[test]
fn what_is_let_in_wants_its_points_open_or_shut() {
    let let_in = "\"pressure\": \"15 bar g\", \"gauge\": \"PG-1\"";
    let none: [&str; 0] = [];
    let so = |wants: &str| with(SOUND, let_in, &format!("{let_in}, {wants}"));
    assert_eq!(found(&so("\"shut\": [\"drain 1\"]")), none);
    assert_eq!(
        found(&so("\"open\": [\"drain 1\"]")),
        ["point-stands-wrong body is filled or raised while drain 1 is shut."]
    );
    // With the shutting left out, the drain stands open under the pressure.
    let open = with(
        &so("\"shut\": [\"drain 1\"]"),
        "{\"id\": \"shut-for-test\", \"text\": \"Shut drain 1.\", \"does\": [{\"restore\": \"drain 1\"}]},\n",
        "",
    );
    assert!(
        found(&open).contains(
            &"point-stands-wrong body is filled or raised while drain 1 is open.".to_owned()
        ),
        "{:?}",
        found(&open)
    );
    assert_eq!(
        found(&so("\"shut\": [\"drain 7\"]")),
        ["unknown-name No point is called \u{201c}drain 7\u{201d}."]
    );
}

/// Tests of one name under options that exclude each other are two tests; twice under the same they are a slip.
#[test]
fn a_test_may_differ_by_options() {
    let ring = |ring: &str| format!("\"when\": {{\"ring\": [\"{ring}\"]}}");
    let two = |one: &str, other: &str| {
        let text = with_test(one);
        let more = format!(
            "{{\"id\": \"hold\", \"label\": \"hold\", \"needs\": [\"body\"], {other}}}, {{\"id\": \"hold\""
        );
        with(
            &text,
            "{\"id\": \"hold\", \"label\": \"hold\"",
            &format!("{more}, \"label\": \"hold\""),
        )
    };
    let none: [&str; 0] = [];
    assert_eq!(found(&two(&ring("epdm"), &ring("fkm"))), none);
    assert_eq!(
        found(&two(&ring("epdm"), &ring("epdm"))),
        ["duplicate-name A second test is called \u{201c}hold\u{201d}."]
    );
}

/// The sound case's cap has four screws and closes the body; without a boundary only `crack` asks for the crack.
#[test]
fn a_crack_can_be_wanted_where_no_chamber_is_closed() {
    let text = with(SOUND, ", \"boundary\": \"body\"", "");
    let crack = "{\"id\": \"crack\", \"text\": \"Crack the cap away from you, screws still in.\", \"does\": [{\"crack\": \"J1\"}]},\n";
    let uncracked = with(&text, crack, "");
    let orders = |text: &str| {
        let all = found(text);
        all.into_iter()
            .filter(|said| said.starts_with("crack-order"))
            .count()
    };
    assert_eq!(orders(&uncracked), 0);
    let wanted = with(
        &uncracked,
        "\"clamps\": [\"cap\"]",
        "\"crack\": true, \"clamps\": [\"cap\"]",
    );
    assert_eq!(orders(&wanted), 1);
}

/// Shipped procedures say how points stand where a flow, a lock-up or a supply depends on it.
#[test]
fn shipped_tests_say_how_points_stand() {
    for name in [
        "PCV-2107.json",
        "PRV-CO2-04.json",
        "SA-PRV-03.json",
        "BPR-VENT-11.json",
    ] {
        let (_, bytes) = builtin().iter().find(|(file, _)| *file == name).unwrap();
        let procedure = read(bytes).unwrap();
        let wants = |points: &Positions| !points.open.is_empty() || !points.shut.is_empty();
        assert!(
            procedure.tests.iter().any(|test| wants(&test.points)),
            "{name}"
        );
        let raised = procedure
            .sections
            .iter()
            .flat_map(|section| &section.steps)
            .flat_map(|step| &step.does)
            .any(|deed| matches!(deed, Deed::LetIn { points, .. } if wants(points)));
        assert!(raised, "{name}");
    }
}
