//! Commands for authors: explain, outline, compare, draft, and check that waits for changes.

#![allow(clippy::unwrap_used, clippy::panic)]

mod house;

use std::io::{BufRead, BufReader, Write};
use std::path::PathBuf;
use std::process::Stdio;

use house::House;

fn shipped(name: &str) -> String {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../procedures");
    folder
        .join(name)
        .canonicalize()
        .unwrap()
        .to_string_lossy()
        .into_owned()
}

const DRAFT: [&str; 15] = [
    "draft",
    "--number",
    "P-7",
    "--title",
    "strainer cap",
    "--author",
    "Tomas Brel",
    "--model",
    "S-10",
    "--energy",
    "inlet water; 10 bar g",
    "--joint",
    "J1; cap; 4 screws; M10×1.5; A4-70; N; 19..22 N·m",
    "--test",
    "15 bar g",
];

#[test]
fn explain_tells_a_code_and_offers_the_nearest() {
    let house = House::empty();
    house
        .run(&["explain", "no-hand-start"])
        .exits(0)
        .says("no-hand-start (error)")
        .says("a crossed thread takes the torque and clamps nothing");
    house
        .run(&["explain", "no-handstart"])
        .exits(2)
        .says("There is no finding code")
        .says("Did you mean \u{201c}no-hand-start\u{201d}?");
    let all = house.run(&["explain", "--json"]);
    assert_eq!(
        all.exits(0).json().as_array().unwrap().len(),
        reseat_procedure::codes::ALL.len()
    );
    house.run(&["explain"]).exits(0).says("pass-steps");
}

#[test]
fn outline_shows_the_route_that_was_chosen() {
    let house = House::empty();
    let plain = shipped("FV-3302.json");
    house
        .run(&["outline", &plain])
        .exits(0)
        .says("P-33-A revision C: brine reject control valve")
        .says("168 steps")
        .says("WARNING: Brine at 64 bar cuts skin.");
    house
        .run(&["outline", &plain, "--size", "2"])
        .exits(2)
        .says("no option \"size\"");
    let sizes = shipped("BPR-VENT-11.json");
    house
        .run(&["outline", &sizes])
        .exits(2)
        .says("is not chosen")
        .says("--OPTION VALUE");
    let bytes = std::fs::read(&sizes).unwrap();
    let procedure = reseat_procedure::read(&bytes).unwrap();
    let choices = &reseat_procedure::all_choices(&procedure)[1];
    let mut args = vec!["outline".to_owned(), sizes.clone()];
    let mut other = args.clone();
    for (option, value) in &choices.0 {
        args.extend([format!("--{option}"), value.clone()]);
        other.extend(["--choose".to_owned(), format!("{option}={value}")]);
    }
    args.push("--json".to_owned());
    other.push("--json".to_owned());
    let run = |args: &[String]| {
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        house.run(&args).exits(0).json()
    };
    let json = run(&args);
    let steps: usize = json["sections"]
        .as_array()
        .unwrap()
        .iter()
        .map(|section| section["steps"].as_array().unwrap().len())
        .sum();
    assert_eq!(steps, procedure.route(choices).len());
    assert_eq!(json, run(&other));
    house
        .run(&["outline", &sizes, "--size"])
        .exits(2)
        .says("has no value");
    house
        .run(&["outline", "nowhere.json"])
        .exits(2)
        .says("cannot be read");
}

#[test]
fn compare_says_what_changed() {
    let house = House::empty();
    let old = shipped("FV-3302.json");
    let text = std::fs::read_to_string(&old).unwrap();
    let new = house.write("new.json", &text.replace("115..130 N·m", "118..130 N·m"));
    let new = new.to_string_lossy();
    house
        .run(&["compare", &old, &new])
        .exits(0)
        .says("joint J1")
        .says("changed: window was 115..130 N·m, is 118..130 N·m")
        .says("1 change");
    let json = house.run(&["compare", &old, &new, "--json"]);
    let json = json.exits(0).json();
    assert_eq!(json[0]["fate"], "changed");
    assert_eq!(json[0]["about"], "joint J1");
    house
        .run(&["compare", &old, &old])
        .exits(0)
        .says("nothing changed");
    let broken = house.write("broken.json", "{\"format\":1}");
    house
        .run(&["compare", &old, &broken.to_string_lossy()])
        .exits(2)
        .says("missing-member")
        .says("cannot be read as a procedure");
}

#[test]
fn a_draft_is_written_once_and_check_reads_it() {
    let house = House::empty();
    let mut args = DRAFT.to_vec();
    args.insert(1, "new.json");
    house.run(&args).exits(0).says("new.json is written.");
    house.run(&args).exits(2).says("cannot be written");
    house.run(&["check", "new.json"]).exits(0).says("0 errors");
    let printed = house.run(&DRAFT);
    printed.exits(0);
    assert_eq!(
        printed.out,
        std::fs::read_to_string(house.path("new.json")).unwrap()
    );
    let mut wrong = DRAFT;
    wrong[14] = "15 bar";
    house.run(&wrong).exits(2).says("say g, a or d");
}

#[test]
fn a_draft_asks_for_what_was_not_given() {
    let house = House::empty();
    house.run(&["draft"]).exits(1).says("The input ended");
    let mut child = house
        .command()
        .args(["draft", "asked.json", "--number", "P-7"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let answers = "strainer cap\nTomas Brel\nS-10\ninlet water\ninlet water; 10 bar g\n\n\
                   J1; cap; 4 screws; M10×1.5; A4-70; N; 19..22 N·m\n\n15 bar g\n";
    child
        .stdin
        .take()
        .unwrap()
        .write_all(answers.as_bytes())
        .unwrap();
    let ended = child.wait_with_output().unwrap();
    let said = String::from_utf8(ended.stderr).unwrap();
    assert_eq!(ended.status.code(), Some(0), "{said}");
    assert!(
        said.contains("wants 2 fields with ; between them, and has 1"),
        "{said}"
    );
    house
        .run(&["check", "asked.json"])
        .exits(0)
        .says("0 errors");
}

/// Each look ends with the line that says it waits; only then is the next change made.
#[cfg(target_os = "linux")]
#[test]
fn check_wakes_when_a_file_is_written_or_replaced() {
    let house = House::empty();
    let text = std::fs::read_to_string(shipped("FV-3302.json")).unwrap();
    house.write("p.json", &text);
    let mut child = house
        .command()
        .args(["check", "--watch", "p.json"])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let mut look = || {
        let mut said = String::new();
        loop {
            let line = lines.next().unwrap().unwrap();
            if line.starts_with("waiting for a change") {
                return said;
            }
            said.push_str(&line);
            said.push('\n');
        }
    };
    assert!(look().contains("p.json: nothing found"));
    // Another file of the folder wakes nothing that would be said before the next change is.
    house.write("other.json", "{}");
    house.write("p.json", "{\"format\":1,");
    assert!(look().contains("not-json"));
    house.write("saved", &text);
    std::fs::rename(house.path("saved"), house.path("p.json")).unwrap();
    let mut said = look();
    if said.contains("not-json") {
        // One save may wake twice, once for each write; the last look is the one that counts.
        said = look();
    }
    assert!(said.contains("p.json: nothing found"), "{said}");
    child.kill().unwrap();
    child.wait().unwrap();
}

#[test]
fn a_watched_folder_that_is_not_there_is_exit_2() {
    House::empty()
        .run(&["check", "--watch", "nowhere/p.json"])
        .exits(2)
        .says("help: ");
}

/// The members of a finding, where it stands in a line with letters of several bytes, and what the exit code says.
#[test]
fn check_writes_findings_for_scripts_and_exits_by_what_it_found() {
    let house = House::empty();
    let text = std::fs::read_to_string(shipped("FV-3302.json")).unwrap();
    house.write("sound.json", &text);
    let sound = house.run(&["check", "--json", "sound.json"]);
    assert_eq!(sound.exits(0).json().as_array().unwrap().len(), 0);
    // A combining accent and letters of two and four bytes before the place; the file keeps its lines.
    let before = "\"revision\": \"C\"";
    assert!(text.contains(before));
    let after = "\"revision\": \"e\u{301}·µ𝕏\", \"wrong\": 1";
    let multi = text.replacen(before, after, 1);
    house.write("multi.json", &multi);
    let at = multi
        .lines()
        .position(|line| line.contains("\"wrong\""))
        .unwrap();
    let line = multi.lines().nth(at).unwrap();
    let column = line.split("\"wrong\"").next().unwrap().chars().count() + 1;
    let found = house.run(&["check", "--json", "multi.json"]);
    let found = found.exits(1).json();
    let finding = &found[0];
    let mut members: Vec<&String> = finding.as_object().unwrap().keys().collect();
    members.sort();
    assert_eq!(
        members,
        [
            "code", "column", "file", "line", "message", "number", "options", "remedy", "severity",
            "step"
        ]
    );
    assert_eq!(finding["file"], "multi.json");
    assert_eq!(
        (&finding["code"], &finding["severity"]),
        (&"unknown-member".into(), &"error".into())
    );
    assert_eq!(finding["line"], at + 1);
    assert_eq!(finding["column"], column, "in characters, not bytes");
    assert!(finding["step"].is_null() && finding["number"].is_null());
    assert!(finding["options"].as_object().unwrap().is_empty());
    // A warning alone is no error.
    let warned = text.replacen(
        "[\"40 N·m\", \"80 N·m\", \"122 N·m\"]",
        "[\"40 N·m\", \"122 N·m\"]",
        1,
    );
    house.write("warned.json", &warned);
    let json = house.run(&["check", "--json", "warned.json"]);
    assert_eq!(json.exits(0).json()[0]["severity"], "warning");
    // What is no procedure outweighs what has errors.
    house.write("no.json", "{\"format\":");
    house
        .run(&["check", "multi.json", "no.json"])
        .exits(2)
        .says("1 error, 0 warnings, 0 notes");
    house
        .run(&["check", "nowhere.json"])
        .exits(2)
        .says("cannot be read");
}

/// A finding that only some options bring about names them, and a step's number where no option changes it.
#[test]
fn check_names_the_step_its_number_and_the_options() {
    let house = House::empty();
    let text = std::fs::read_to_string(shipped("FV-3302.json")).unwrap();
    let slip = text.replacen(
        "\"does\": [{\"hand_start\": \"J1\"}]",
        "\"does\": [{\"clean\": []}]",
        1,
    );
    assert_ne!(slip, text);
    house.write("slip.json", &slip);
    let found = house.run(&["check", "--json", "slip.json"]);
    let found = found.exits(1).json();
    assert_eq!(found[0]["step"], "tighten-j1");
    let procedure = reseat_procedure::read(slip.as_bytes()).unwrap();
    let route = procedure.route(&reseat_procedure::Choices::default());
    let number = route
        .places
        .iter()
        .position(|place| procedure.step(*place).id == "tighten-j1");
    assert_eq!(found[0]["number"], number.unwrap() + 1);
}

#[test]
fn every_code_is_explained() {
    let house = House::empty();
    let all = house.run(&["explain", "--json"]);
    let all = all.exits(0).json();
    for (code, meaning) in reseat_procedure::codes::ALL {
        let row = all
            .as_array()
            .unwrap()
            .iter()
            .find(|row| row["code"] == *code);
        assert_eq!(row.unwrap()["meaning"], *meaning);
        assert!(
            meaning.ends_with('.') && meaning.len() > 30,
            "{code}: {meaning}"
        );
    }
}

/// What an engineer asks of two revisions: windows, parts, order, warnings, each in the field's words.
#[test]
fn compare_speaks_of_windows_parts_order_and_warnings() {
    let house = House::empty();
    let old = std::fs::read_to_string(shipped("FV-3302.json")).unwrap();
    let put = |text: &str, this: &str, that: &str| {
        assert!(text.contains(this), "{this}");
        text.replacen(this, that, 1)
    };
    let new = put(&old, "115..130 N·m", "118..130 N·m");
    let new = put(
        &new,
        "\"label\": \"V-rings\"",
        "\"label\": \"packing rings\"",
    );
    let new = put(
        &new,
        "A stud under load can break. Keep your face out of its line.",
        "A stud under load can break. Stand beside it.",
    );
    let lines: Vec<&str> = new.lines().collect();
    let steps: Vec<usize> = lines
        .iter()
        .enumerate()
        .filter(|(_, line)| {
            line.trim_start().starts_with("{\"id\"")
                && line.trim_end().ends_with("},")
                && line.contains("\"on\"")
        })
        .map(|(at, _)| at)
        .collect();
    let pair = steps
        .windows(2)
        .find(|pair| pair[0] + 1 == pair[1])
        .unwrap();
    let mut moved = lines.clone();
    moved.swap(pair[0], pair[1]);
    house.write("old.json", &old);
    house.write("new.json", &moved.join("\n"));
    house
        .run(&["compare", "old.json", "new.json"])
        .exits(0)
        .says("changed: window was 115..130 N·m, is 118..130 N·m")
        .says("packing rings")
        .says("moved: ")
        .says("Stand beside it");
}
