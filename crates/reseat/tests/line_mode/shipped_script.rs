//! The shipped script: held against the robot's, so that a changed procedure cannot leave a stale one behind; run whole, cut
//! in the middle, and from its shell script.

use std::process::Stdio;

use crate::house::{House, Ran};
use crate::robot::script_of_the_robot;
use crate::{close_the_open_one, newest, plain, script, scripts};

/// Set to anything, it writes the script instead of comparing it.
const WRITE: &str = "RESEAT_WRITE_DOCS";

#[test]
fn the_shipped_script_is_fresh_and_leads_a_whole_rebuild_to_its_signatures() {
    let path = scripts().join("fv-3302.txt");
    let made = script_of_the_robot();
    if std::env::var_os(WRITE).is_some() {
        std::fs::write(&path, &made).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == made,
        "tests/scripts/fv-3302.txt is stale: run the test once with {WRITE}=1"
    );

    let house = House::demo();
    close_the_open_one(&house);
    let ran = plain(&house, &["--tag", "fv-3302"], &kept);
    ran.exits(0);
    assert_eq!(ran.lines("! "), [""; 0], "nothing was refused");
    let last = ran.lines("? ").pop().unwrap();
    assert!(last.starts_with("? none -: Signed."), "{last}");
    let answers = kept.lines().filter(|line| !line.starts_with('#')).count();
    assert_eq!(
        ran.lines("? ").len(),
        answers + 1,
        "one prompt for each answer, and the last"
    );
    assert!(
        !ran.out.contains('\u{1b}') && !ran.err.contains('\u{1b}'),
        "no cursor is moved"
    );
    let past = house.run(&["history", "FV-3302", "--json"]).json();
    assert_eq!(past[0]["outcome"], "signed");
    house
        .run(&["verify", past[0]["record"].as_str().unwrap()])
        .exits(0);
}

#[test]
fn an_input_that_ends_in_the_middle_loses_nothing_and_zero_is_read_anew() {
    let house = House::demo();
    close_the_open_one(&house);
    let script = script();
    // Cut in the middle of pass 2 of the bonnet joint: the first answers that are a bare fastener number, all of pass 1 and
    // three of pass 2, and then half a line.
    let whole = plain(&house, &["--tag", "FV-3302"], &until_the_joint(&script));
    whole
        .exits(1)
        .says("The input ended before the rebuild did.")
        .says("! line-cut: ");
    let prompt = whole.lines("? ").pop().unwrap();
    assert!(
        prompt.starts_with("? fastener tighten-j1: Pull "),
        "{prompt}"
    );

    let before = house.run(&["history", "FV-3302", "--json"]).json()[0]["record"].clone();
    let record = before.as_str().unwrap().to_owned();
    let entries = || {
        let shown = house.run(&["show", &record, "--json"]).json();
        shown["entries"].as_array().unwrap().clone()
    };
    let kept = entries();
    assert_eq!(kept.last().unwrap()["kind"], "pulled/1");

    // By the identifier the end of the tag is asked first; a wrong one is refused, and nothing is written for looking.
    let looked = plain(&house, &["--rebuild", &record], "07\nnobody\n");
    looked.exits(1).says("! other-tag: ").says("? text tag: ");
    assert_eq!(entries().len(), kept.len(), "looking writes nothing");

    let again = plain(
        &house,
        &["--rebuild", &record],
        "02\nInes Falk\nenergy\nleave\n",
    );
    again
        .exits(1)
        .says("The program ended without a pause; zero is to be read anew.")
        .says("state: LEFT OPEN, ");
    let asked = again.lines("? ");
    assert!(asked[1].starts_with("? signature take-up: "), "{asked:?}");
    assert!(
        asked[2].starts_with("? reading tighten-j1: ")
            || asked[2].starts_with("? choice tighten-j1: "),
        "zero before the nut: {asked:?}"
    );
    again
        .says("notice: Hands off. Zero does not stand: ")
        .says("energy: brine, upstream");
    let taken = entries();
    assert_eq!(taken[kept.len()]["kind"], "taken_up/1");
    assert_eq!(&taken[..kept.len()], &kept[..]);
    let pulled = |entry: &serde_json::Value| entry["kind"] == "pulled/1";
    assert!(
        !taken[kept.len()..].iter().any(pulled),
        "no nut before zero"
    );
}

/// The script up to the fourth nut of pass 2 of the bonnet joint, which is cut in its line.
fn until_the_joint(script: &str) -> String {
    let mut cut = String::new();
    let mut nuts = 0;
    for line in script.lines() {
        if nuts == 11 {
            cut.push_str(&line[..1]);
            return cut;
        }
        cut.push_str(line);
        cut.push('\n');
        if cut.contains(" tighten-j1: ") || nuts > 0 {
            nuts += usize::from(
                line.parse::<u32>()
                    .is_ok_and(|number| (1..=8).contains(&number)),
            );
        }
    }
    panic!("the script has no such joint");
}

#[test]
fn a_whole_pass_of_a_click_wrench_is_entered_at_once() {
    let (ran, clicks) = typed_at_the_gland_nuts("row all\n");
    ran.says("row: 2 entered, each for itself, in order.");
    assert_eq!(clicks, ["clicked", "clicked"]);
}

#[test]
fn a_row_does_not_pass_over_a_nut_that_did_not_move() {
    // The first click moved nothing. Backed off and pulled again it is answered by its own number; then the row may go on.
    let (ran, clicks) = typed_at_the_gland_nuts("01\nrow all\n1\nrow all\n");
    ran.says("! no-row: No such row is asked here, but the one alone that did not move when the wrench clicked.")
        .says("row: 1 entered, each for itself, in order.");
    assert_eq!(clicks, ["clicked without moving", "clicked", "clicked"]);
}

/// The shipped script up to the set click wrench of the gland, then these lines, which end that joint; what the record has of clicks.
fn typed_at_the_gland_nuts(typed: &str) -> (Ran, Vec<String>) {
    let script = script();
    let joint = script.find(" tighten-j3: ").unwrap();
    let set = joint + script[joint..].find("\n9.0\n").unwrap() + "\n9.0\n".len();
    let house = House::demo();
    close_the_open_one(&house);
    let input = format!("{}{typed}", &script[..set]);
    let ran = plain(&house, &["--tag", "FV-3302"], &input);
    ran.exits(1);
    let prompt = *ran.lines("? ").last().unwrap();
    assert!(
        prompt.starts_with("? act tighten-j3: TW-11 is set back"),
        "{prompt}"
    );
    let clicks = newest(&house)["entries"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|entry| entry["kind"] == "clicked/1")
        .map(|entry| entry["body"]["did"].as_str().unwrap().to_owned())
        .collect();
    (ran, clicks)
}

#[cfg(unix)]
#[test]
fn the_shipped_shell_script_runs_it_by_day_and_over_midnight() {
    for clock in [None, Some("2026-03-12T21:50:00.000Z+01:00")] {
        let house = House::empty();
        let mut command = house.command();
        command
            .env_remove("RESEAT_DEMO_CLOCK")
            .env_remove("RESEAT_HOME")
            .env("PATH", std::env::var_os("PATH").unwrap());
        if let Some(clock) = clock {
            command.env("RESEAT_DEMO_CLOCK", clock);
        }
        // The same surroundings with another program in them.
        let mut shell = std::process::Command::new("sh");
        shell.env_clear().current_dir(house.path(""));
        for (name, value) in command.get_envs() {
            if let Some(value) = value {
                shell.env(name, value);
            }
        }
        shell
            .arg(scripts().join("whole-rebuild.sh"))
            .arg(env!("CARGO_BIN_EXE_reseat"))
            .stdin(Stdio::null());
        let ran = House::ran(&mut shell);
        ran.exits(0).says("? none -: Signed.");
        // The script closes the demo's rebuild unfinished first: whoever starts anew is told how that left the unit.
        ran.says("notice: The last work on this unit was closed INCOMPLETE, APART.");
        assert_eq!(ran.lines("! "), [""; 0], "{clock:?}");
    }
}
