//! What a new author needs beside the skeleton: the schema for his editor, and a word where a revision was kept.

#![allow(clippy::unwrap_used, clippy::panic)]

mod house;

use house::House;

#[test]
fn the_schema_is_written_beside_the_skeleton() {
    let house = House::empty();
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("procedure.schema.json");
    let args = ["draft", "--schema", file.to_str().unwrap()];
    house
        .run(&args)
        .exits(0)
        .says("procedure.schema.json is written.");
    let written = std::fs::read_to_string(&file).unwrap();
    assert_eq!(written, include_str!("../../../docs/procedure.schema.json"));
    // What is there is never written over.
    house.run(&args).exits(2).says("cannot be written");
    // Without a file it goes to standard output, whole.
    let shown = house.run(&["draft", "--schema"]);
    let value = shown.exits(0).json();
    assert_eq!(
        value["$schema"],
        "https://json-schema.org/draft/2020-12/schema"
    );
}

#[test]
fn a_changed_text_under_the_same_revision_is_told_so() {
    let house = House::empty();
    let folder = tempfile::tempdir().unwrap();
    let text = include_str!("../../../procedures/PCV-2107.json");
    let put = |name: &str, text: &str| {
        let file = folder.path().join(name);
        std::fs::write(&file, text).unwrap();
        file.to_str().unwrap().to_owned()
    };
    let old = put("old.json", text);
    let same = put(
        "same.json",
        &text.replacen("Shut drain T2.", "Shut the drain T2.", 1),
    );
    let revision = "\"revision\": \"";
    let new = put(
        "new.json",
        &text
            .replacen("Shut drain T2.", "Shut the drain T2.", 1)
            .replacen(revision, &format!("{revision}new "), 1),
    );
    let told = "give the new text a revision of its own";
    house.run(&["compare", &old, &same]).exits(0).says(told);
    let quiet = house.run(&["compare", &old, &new]);
    assert!(!quiet.exits(0).out.contains(told), "{quiet:?}");
    let quiet = house.run(&["compare", &old, &old]);
    assert!(!quiet.exits(0).out.contains(told), "{quiet:?}");
}

/// The letter of the thread condition is asked for, so the letters there are stand before the question.
#[test]
fn the_letters_of_the_thread_condition_are_told_before_they_are_asked() {
    let house = House::empty();
    let whose = [
        "draft",
        "--number",
        "P-7",
        "--title",
        "cap",
        "--author",
        "Tomas Brel",
    ];
    let unit = ["--model", "S-10", "--energy", "inlet water; 10 bar g"];
    let args: Vec<&str> = whose.into_iter().chain(unit).collect();
    house
        .run(&args)
        .exits(1)
        .says("N nickel anti-seize; H graphite anti-seize;")
        .says("The input ended");
}
