//! What helps an author: outline, comparison and draft, on the guide's style of small texts and a shipped procedure.
#![allow(clippy::unwrap_used, clippy::panic, reason = "tests")]

use reseat_measure::Quantity;
use reseat_procedure::draft::{DraftEnergy, DraftJoint, pressure};
use reseat_procedure::outline::ChoiceFault;
use reseat_procedure::route::Choices;
use reseat_procedure::{
    Draft, Procedure, Severity, builtin, check, choose, compare, draft, outline, read,
};

fn shipped(name: &str) -> (String, Procedure) {
    let (_, bytes) = builtin().iter().find(|(file, _)| *file == name).unwrap();
    let text = String::from_utf8(bytes.to_vec()).unwrap();
    let procedure = read(bytes).unwrap();
    (text, procedure)
}

fn pairs(list: &[(&str, &str)]) -> Vec<(String, String)> {
    list.iter()
        .map(|(option, value)| ((*option).to_owned(), (*value).to_owned()))
        .collect()
}

fn changes(old: &str, new: &str) -> Vec<String> {
    compare(
        &read(old.as_bytes()).unwrap(),
        &read(new.as_bytes()).unwrap(),
    )
    .iter()
    .map(|change| {
        format!(
            "{} {} {:?} {:?}: {}",
            change.fate.word(),
            change.about,
            change.old,
            change.new,
            change.words
        )
    })
    .collect()
}

/// `text` with `from` once replaced by `to`; `from` must stand in it exactly once.
fn with(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "{from}");
    text.replacen(from, to, 1)
}

/// The one line of the file that holds a step.
fn line_of(text: &str, id: &str) -> String {
    let mark = format!("{{\"id\": \"{id}\", \"text\"");
    let lines: Vec<&str> = text.lines().filter(|line| line.contains(&mark)).collect();
    assert_eq!(lines.len(), 1, "{id}");
    format!("{}\n", lines[0])
}

#[test]
fn the_outline_of_fv_3302_is_what_the_technician_sees() {
    let (_, procedure) = shipped("FV-3302.json");
    let outlined = outline(&procedure, &Choices::default());
    // 168 acts: the number of the site's own description of this unit.
    assert_eq!(outlined.len(), 168);
    insta::assert_snapshot!(outlined.lines().join("\n"));
}

#[test]
fn the_outline_tells_no_right_answer() {
    let (_, procedure) = shipped("FV-3302.json");
    let outlined = outline(&procedure, &Choices::default());
    let bush = outlined
        .sections
        .iter()
        .flat_map(|section| &section.steps)
        .find(|step| step.id == "bush-on")
        .unwrap();
    assert_eq!(
        bush.asks,
        [
            "the act is done",
            "orientation, act hidden: Which mark shows on the end of the bush that faces you? two dots / a stamped number / cannot tell"
        ]
    );
}

#[test]
fn options_must_be_chosen_rightly() {
    let (_, procedure) = shipped("BPR-VENT-11.json");
    let first: Vec<(String, String)> = procedure
        .options
        .iter()
        .map(|option| (option.id.clone(), option.values[0].0.clone()))
        .collect();
    let chosen = choose(&procedure, &first).unwrap();
    assert_eq!(
        outline(&procedure, &chosen).len(),
        procedure.route(&chosen).len()
    );
    let open = choose(&procedure, &[]).unwrap_err();
    assert!(matches!(&open, ChoiceFault::Open { option, .. } if *option == first[0].0));
    let wrong = choose(&procedure, &pairs(&[(&first[0].0, "no such")])).unwrap_err();
    assert!(matches!(&wrong, ChoiceFault::NoValue { .. }));
    let name = format!("{}x", first[0].0);
    let unknown = choose(&procedure, &pairs(&[(&name, "1")])).unwrap_err();
    assert!(
        unknown
            .to_string()
            .contains(&format!("Did you mean \u{201c}{}\u{201d}?", first[0].0))
    );
    let twice = [first.clone(), first].concat();
    assert!(matches!(
        choose(&procedure, &twice),
        Err(ChoiceFault::Twice(_))
    ));
    let (_, plain) = shipped("FV-3302.json");
    let none = choose(&plain, &pairs(&[("size", "2")])).unwrap_err();
    assert!(none.to_string().contains("It has none."));
}

#[test]
fn every_shipped_procedure_equals_itself() {
    for (name, bytes) in builtin() {
        let procedure = read(bytes).unwrap();
        assert!(compare(&procedure, &procedure).is_empty(), "{name}");
    }
}

#[test]
fn every_kind_of_change_is_told_in_words() {
    let (old, _) = shipped("FV-3302.json");
    let mut new = with(&old, r#""revision": "C""#, r#""revision": "D""#);
    new = with(
        &new,
        r#""window": "115..130 N·m""#,
        r#""window": "118..130 N·m""#,
    );
    new = with(
        &new,
        r#""passes": ["40 N·m", "80 N·m", "122 N·m"]"#,
        r#""passes": ["40 N·m", "82 N·m", "122 N·m"]"#,
    );
    new = with(
        &new,
        r#""id": "split pin", "label": "split pin", "single_use": true"#,
        r#""id": "split pin", "label": "split pin", "single_use": false"#,
    );
    new = with(
        &new,
        "Tell the control room that the work starts.",
        "Tell the control room that work starts.",
    );
    new = with(
        &new,
        "The plug drops as the pin leaves. Keep fingers clear of the clevis.",
        "The plug drops. Keep fingers clear of the clevis.",
    );
    new = with(
        &new,
        r#""question": "Yoke nuts off?", "expected": 4"#,
        r#""question": "Yoke nuts off?", "expected": 6"#,
    );
    new = with(
        &new,
        r#""right": "a stamped number""#,
        r#""right": "two dots""#,
    );
    let (hang, moved) = (line_of(&new, "mark-bonnet"), line_of(&new, "mark-yoke"));
    new = with(&new, &hang, "");
    new = with(&new, &moved, &format!("{moved}{hang}"));
    let gone = line_of(&new, "compare-revision");
    new = with(
        &new,
        &gone,
        &gone.replace("compare-revision", "compare-list"),
    );
    insta::assert_snapshot!(changes(&old, &new).join("\n"));
}

#[test]
fn one_slip_gives_one_change() {
    let (old, _) = shipped("FV-3302.json");
    let new = with(
        &old,
        r#""window": "115..130 N·m""#,
        r#""window": "115..131 N·m""#,
    );
    assert_eq!(
        changes(&old, &new),
        ["changed joint J1 None None: window was 115..130 N·m, is 115..131 N·m"]
    );
    let line = line_of(&old, "mark-yoke");
    assert_eq!(
        changes(&old, &with(&old, &line, "")),
        [
            "removed step mark-yoke Some(46) None: it stood after mark-bonnet: Match-mark the yoke to the bonnet."
        ]
    );
}

fn answers() -> Draft {
    Draft {
        number: "P-7".into(),
        title: "strainer \"cap\"".into(),
        author: "Tomas Brel".into(),
        model: "S-10".into(),
        energies: vec![
            DraftEnergy::parse("inlet water; 10 bar g").unwrap(),
            DraftEnergy::parse("outlet water; 3 bar g").unwrap(),
        ],
        joints: vec![
            DraftJoint::parse("J1; cap; 4 screws; M10×1.5; A4-70; N; 19..22 N·m").unwrap(),
            DraftJoint::parse("J2; plug; 1 screws; M12×1.75; 8.8; Z; 40..45 N·m").unwrap(),
        ],
        test: pressure("15 bar g").unwrap(),
    }
}

/// The skeleton is read, and the proof finds no error in it; what it warns of is what the author must still write.
#[test]
fn a_draft_is_read_and_has_no_error() {
    let text = draft(&answers());
    let procedure = read(text.as_bytes()).unwrap_or_else(|found| panic!("{found:#?}\n{text}"));
    assert_eq!(procedure.title, "strainer \"cap\"");
    let passes: Vec<String> = procedure.joints[0]
        .passes
        .iter()
        .map(Quantity::to_string)
        .collect();
    // 30, 60 and 100 % of 20.5 N·m, rounded to a tenth.
    assert_eq!(passes, ["6.2 N·m", "12.3 N·m", "20.5 N·m"]);
    let found = check(text.as_bytes());
    let errors: Vec<_> = found
        .iter()
        .filter(|finding| finding.severity == Severity::Error)
        .collect();
    assert!(errors.is_empty(), "{errors:#?}\n{text}");
    assert!(!found.is_empty(), "what is left open must be named");
    insta::assert_snapshot!(text);
}

#[test]
fn wrong_answers_are_refused_in_words() {
    for (text, words) in [
        (
            "J1; cap; 4 screws",
            "wants 7 fields with ; between them, and has 3",
        ),
        (
            "J1; cap; screws; M10×1.5; A4-70; N; 19..22 N·m",
            "\"screws\" is no number and name",
        ),
        (
            "J1; cap; 4 screws; M10×1.5; A4-70; Q; 19..22 N·m",
            "\"Q\" is no letter of a thread",
        ),
        (
            "J1; cap; 4 screws; M10×1.5; A4-70; N; 19..22",
            "\"19..22\" is no window",
        ),
        (
            "J1; cap; 4 screws; M10×1.5; A4-70; N; ..22 N·m",
            "\"..22 N·m\" is no window",
        ),
        (
            "J1; ; 4 screws; M10×1.5; A4-70; N; 19..22 N·m",
            "it is empty",
        ),
    ] {
        let fault = DraftJoint::parse(text).unwrap_err().to_string();
        assert!(fault.contains(words), "{fault}");
    }
    let fault = DraftEnergy::parse("water; 10 bar").unwrap_err().to_string();
    assert!(fault.contains("say g, a or d"), "{fault}");
}
