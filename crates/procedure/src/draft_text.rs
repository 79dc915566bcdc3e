//! The text of a draft: a skeleton with every section a rebuild needs, in the shape the guide for authors shows.

use std::fmt::Write as _;

use reseat_measure::Condition;

use crate::assembly_joint::CRACKED_FROM;
use crate::draft::{Draft, DraftEnergy, DraftJoint};

/// A text as a JSON string.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// A JSON text that [`read`](fn@crate::read) reads, where the answers hold together (names are not checked here).
pub fn draft(of: &Draft) -> String {
    let mut text = String::new();
    head(&mut text, of);
    text.push_str("  \"sections\": [\n");
    safe(&mut text, of);
    work(&mut text, of);
    test(&mut text, of);
    back(&mut text, of);
    text.push_str("  ]\n}\n");
    text
}

/// Lines of a JSON array, with a comma between them.
fn array(text: &mut String, open: &str, lines: &[String], close: &str) {
    // Writing to a String cannot fail.
    let _ = writeln!(text, "{open}");
    let indent = " ".repeat(open.len() - open.trim_start().len() + 2);
    for (at, line) in lines.iter().enumerate() {
        let comma = if at + 1 < lines.len() { "," } else { "" };
        let _ = writeln!(text, "{indent}{line}{comma}");
    }
    let _ = writeln!(text, "{}{close}", &indent[2..]);
}

fn head(text: &mut String, of: &Draft) {
    let _ = writeln!(
        text,
        "{{\n  \"$schema\": \"procedure.schema.json\",\n  \"format\": 1, \"number\": {}, \"revision\": \"A\",\n  \"title\": {}, \"author\": {},\n  \"models\": [{}],",
        quoted(&of.number),
        quoted(&of.title),
        quoted(&of.author),
        quoted(&of.model)
    );
    let energies: Vec<String> = of
        .energies
        .iter()
        .map(|energy| {
            format!(
                r#"{{"id": {name}, "label": {name}, "kind": "process", "size": "{}", "method": {}}}"#,
                energy.pressure,
                quoted(&format!("shut {}, open {}", valve(energy), drain(energy))),
                name = quoted(&energy.name)
            )
        })
        .collect();
    array(text, "  \"energies\": [", &energies, "],");
    let mut points = Vec::new();
    for (at, energy) in of.energies.iter().enumerate() {
        let name = quoted(&energy.name);
        // No test pressure goes into the body while one of its drains is open.
        for (label, kind, position, lock, lies_on) in [
            (valve(energy), "isolating", "shut", 2 * at + 1, ""),
            (
                drain(energy),
                "drain",
                "open",
                2 * at + 2,
                r#", "drains": ["body"]"#,
            ),
        ] {
            points.push(format!(
                r#"{{"id": {label}, "label": {label}, "energy": {name}, "kind": "{kind}", "position": "{position}", "lock": "L-{lock}"{lies_on}}}"#,
                label = quoted(&label)
            ));
        }
    }
    array(text, "  \"points\": [", &points, "],");
    let _ = writeln!(
        text,
        r#"  "chambers": [{{"id": "body", "label": "body", "limit": "{0}", "test": "{0}"}}],"#,
        of.test
    );
    let sides: Vec<String> = of
        .energies
        .iter()
        .enumerate()
        .map(|(at, energy)| {
            format!(
                r#"{{"id": {name}, "label": {name}, "energy": {name}, "instrument": "PG-{}", "window": {}, "vent": {}}}"#,
                at + 1,
                quoted(&zero_window(energy)),
                quoted(&drain(energy)),
                name = quoted(&energy.name)
            )
        })
        .collect();
    array(text, "  \"zero\": [", &sides, "],");
    text.push_str("  \"zero_release\": \"releaser\",\n");
    assembly(text, of);
}

fn assembly(text: &mut String, of: &Draft) {
    let parts: Vec<String> = of
        .joints
        .iter()
        .map(|joint| format!(r#"{{"id": {0}, "label": {0}}}"#, quoted(&joint.part)))
        .collect();
    array(text, "  \"parts\": [", &parts, "],");
    let joints: Vec<String> = of.joints.iter().map(joint).collect();
    array(text, "  \"joints\": [", &joints, "],");
    text.push_str("  \"covers\": [{\"id\": \"TS-1\", \"label\": \"test supply\"}],\n");
    let mut instruments: Vec<String> = (1..=of.energies.len())
        .map(|at| format!(r#"{{"id": "PG-{at}", "label": "gauge"}}"#))
        .collect();
    instruments.push(r#"{"id": "PG-T", "label": "gauge of the test"}"#.to_owned());
    for joint in &of.joints {
        instruments.push(format!(
            r#"{{"id": {}, "label": "wrench"}}"#,
            quoted(&wrench(joint))
        ));
    }
    array(text, "  \"instruments\": [", &instruments, "],");
    let mut letters: Vec<Condition> = of.joints.iter().map(|joint| joint.condition).collect();
    letters.sort_by_key(|condition| condition.letter());
    letters.dedup();
    let consumables: Vec<String> = letters
        .into_iter()
        .filter_map(|condition| {
            let name = lubricant(condition)?;
            Some(format!(
                r#"{{"id": {}, "label": {}}}"#,
                quoted(&name),
                quoted(condition.name())
            ))
        })
        .collect();
    array(text, "  \"consumables\": [", &consumables, "],");
    text.push_str("  \"kit\": {\"number\": \"K-1\"},\n");
}

fn joint(joint: &DraftJoint) -> String {
    // One fastener loads nothing unevenly: it goes to its target at once.
    let first = if joint.fasteners == 1 { 2 } else { 0 };
    let passes: Vec<String> = joint.passes[first..]
        .iter()
        .map(|pass| format!("\"{pass}\""))
        .collect();
    let lubricant = lubricant(joint.condition).map_or_else(String::new, |name| {
        format!(" \"lubricant\": {},", quoted(&name))
    });
    let (pattern, rounds) = if joint.fasteners > 1 {
        ("cross", " \"rounds\": {\"up_to\": 3},")
    } else {
        ("single", "")
    };
    format!(
        r#"{{"id": {}, "label": {part}, "fasteners_named": {}, "fasteners": {}, "thread": {}, "grade": {}, "condition": "{}",{lubricant} "pattern": "{pattern}", "wrenches": [{}], "passes": [{}], "window": "{}",{rounds} "numbering": "paint the numbers clockwise from the match mark, seen from above", "clamps": [{part}], "boundary": "body"}}"#,
        quoted(&joint.id),
        quoted(&joint.named),
        joint.fasteners,
        quoted(&joint.thread),
        quoted(&joint.grade),
        joint.condition.letter(),
        quoted(&wrench(joint)),
        passes.join(", "),
        joint.window,
        part = quoted(&joint.part)
    )
}

fn valve(energy: &DraftEnergy) -> String {
    format!("valve of {}", energy.name)
}

fn drain(energy: &DraftEnergy) -> String {
    format!("drain of {}", energy.name)
}

fn wrench(joint: &DraftJoint) -> String {
    format!("wrench for {}", joint.id)
}

/// The consumable of a lubricated condition; none for a dry one.
fn lubricant(condition: Condition) -> Option<String> {
    match condition {
        Condition::ZincDry | Condition::PlainDry => None,
        _ => Some(format!("lubricant {}", condition.letter())),
    }
}

/// Zero and nothing else: the author widens it to the error of his gauge.
fn zero_window(energy: &DraftEnergy) -> String {
    let scale = energy.pressure.to_string();
    let unit = scale.split_once(' ').map_or("", |(_, unit)| unit);
    format!("0..0 {unit}")
}

/// A step: its id and act, and its other members as they stand in the file.
fn step(id: &str, act: &str, members: &str) -> String {
    let comma = if members.is_empty() { "" } else { ", " };
    format!(
        r#"{{"id": {}, "text": {}{comma}{members}}}"#,
        quoted(id),
        quoted(act)
    )
}

fn section(text: &mut String, id: &str, title: &str, energy: &str, steps: &[String], last: bool) {
    let _ = writeln!(
        text,
        r#"    {{"id": "{id}", "title": "{title}", "energy": "{energy}", "ppe": ["glasses"],"#
    );
    array(
        text,
        "      \"steps\": [",
        steps,
        if last { "]}" } else { "]}," },
    );
}

fn safe(text: &mut String, of: &Draft) {
    let mut steps = vec![step(
        "sign-over",
        "Get operations to sign the unit over.",
        r#""energy": "running", "hold": "operations""#,
    )];
    let mut proves = Vec::new();
    for (at, energy) in of.energies.iter().enumerate() {
        let (n, point, lock) = (at + 1, quoted(&valve(energy)), 2 * at + 1);
        steps.push(step(
            &format!("shut-{n}"),
            &format!("Shut the {}.", valve(energy)),
            &format!(r#""safer": true, "does": [{{"isolate": {point}}}]"#),
        ));
        steps.push(step(
            &format!("lock-{n}"),
            &format!("Hang lock L-{lock} on the {}.", valve(energy)),
            &format!(r#""safer": true, "does": [{{"lock": {point}}}]"#),
        ));
    }
    steps.push(step(
        "own-locks",
        "Hang your own lock on box LB-1.",
        r#""asks": [{"own_locks": {"lock_box": "LB-1"}}]"#,
    ));
    for (at, energy) in of.energies.iter().enumerate() {
        let (n, name) = (at + 1, quoted(&energy.name));
        steps.push(step(
            &format!("vent-{n}"),
            &format!("Open the {}.", drain(energy)),
            &format!(
                r#""safer": true, "asks": ["done", {{"vent": {{"side": {name}}}}}], "does": [{{"release": {name}}}]"#
            ),
        ));
        steps.push(step(
            &format!("read-{n}"),
            &format!("Read {} on PG-{n}.", energy.name),
            &format!(
                r#""asks": [{{"reading": {{"id": "zero-{n}", "label": {name}, "window": "{}", "instruments": ["PG-{n}"], "proves": {name}}}}}], "does": [{{"prove": {name}}}]"#,
                zero_window(energy)
            ),
        ));
        steps.push(step(
            &format!("lock-drain-{n}"),
            &format!("Hang lock L-{} on the {}.", 2 * at + 2, drain(energy)),
            &format!(
                r#""safer": true, "does": [{{"lock": {}}}]"#,
                quoted(&drain(energy))
            ),
        ));
        proves.push(format!(r#"{{"prove": {name}}}"#));
    }
    steps.push(step(
        "zero",
        "Read out zero and the locks.",
        &format!(r#""hold": "releaser", "does": [{}]"#, proves.join(", ")),
    ));
    section(text, "safe", "Make safe", "isolating", &steps, false);
}

fn work(text: &mut String, of: &Draft) {
    let mut apart = Vec::new();
    let mut together = vec![step(
        "balance",
        "Balance the parts.",
        r#""asks": ["balance"]"#,
    )];
    for joint in &of.joints {
        let (id, named, part) = (&joint.id, &joint.named, &joint.part);
        let (q, p, count) = (quoted(id), quoted(part), joint.fasteners);
        let deed = |deed: &str| format!(r#""does": [{{"{deed}": {q}}}]"#);
        let all = all_of(joint);
        let each = if count == 1 { "" } else { " each" };
        apart.push(step(
            &format!("slacken-{id}"),
            &format!("Slacken {all} half a turn{each}."),
            &deed("slacken"),
        ));
        if count >= CRACKED_FROM {
            apart.push(step(
                &format!("crack-{id}"),
                &format!("Crack the {part} away from you, {named} still on."),
                &deed("crack"),
            ));
        }
        apart.push(step(
            &format!("unfasten-{id}"),
            &format!("Remove {all}."),
            &format!(
                r#""asks": [{{"count": {{"question": {}, "expected": {count}}}}}], {}"#,
                quoted(&format!("How many of {id} are off: {named}?")),
                deed("unfasten")
            ),
        ));
        apart.push(step(
            &format!("off-{id}"),
            &format!("Lift off the {part}."),
            &format!(r#""does": [{{"off": {{"part": {p}}}}}]"#),
        ));
    }
    apart.push(step(
        "dispositions",
        "Give each part its disposition.",
        r#""asks": ["dispositions"]"#,
    ));
    apart.push(step(
        "clean",
        "Wash the parts.",
        r#""does": [{"clean": []}]"#,
    ));
    apart.push(step(
        "decide",
        "Decide each finding.",
        r#""hold": "releaser", "asks": ["decisions"]"#,
    ));
    for joint in of.joints.iter().rev() {
        close(&mut together, joint);
    }
    section(text, "apart", "Teardown", "zero", &apart, false);
    section(text, "together", "Reassemble", "zero", &together, false);
}

/// Every fastener of a joint: `4 screws of J1`, `the nozzle of J2`.
fn all_of(joint: &DraftJoint) -> String {
    let (id, named) = (&joint.id, &joint.named);
    match joint.fasteners {
        1 => format!("the {named} of {id}"),
        several => format!("{several} {named} of {id}"),
    }
}

fn close(together: &mut Vec<String>, joint: &DraftJoint) {
    let (id, part) = (&joint.id, &joint.part);
    let q = quoted(id);
    together.push(step(
        &format!("on-{id}"),
        &format!("Set the {part} to its mark."),
        &format!(r#""does": [{{"on": {{"part": {}}}}}]"#, quoted(part)),
    ));
    let greased = lubricant(joint.condition).map_or_else(String::new, |name| {
        format!(
            r#", "does": [{{"lubricate": {{"joints": [{q}], "with": {}}}}}]"#,
            quoted(&name)
        )
    });
    together.push(step(
        &format!("condition-{id}"),
        &format!("State the thread condition of {id}."),
        &format!(r#""asks": [{{"condition": {{"joint": {q}}}}}]{greased}"#),
    ));
    together.push(step(
        &format!("hand-{id}"),
        &format!(
            "Hand-start {}, at least 3 turns{}.",
            all_of(joint),
            if joint.fasteners == 1 { "" } else { " each" }
        ),
        &format!(r#""does": [{{"hand_start": {q}}}]"#),
    ));
    together.push(step(
        &format!("tighten-{id}"),
        &format!("Tighten {id}."),
        &format!(r#""asks": [{{"tighten": {{"joint": {q}}}}}], "does": [{{"tighten": {q}}}]"#),
    ));
}

/// What is looked at under pressure: each joint by itself.
fn seen(of: &Draft) -> Vec<String> {
    of
        .joints
        .iter()
        .map(|joint| {
            format!(
                r#"{{"choice": {{"question": {}, "answers": [{{"label": "dry"}}, {{"label": "leaks", "leads": "finding"}}]}}}}"#,
                quoted(&format!("{} {}?", joint.id, joint.part))
            )
        })
        .collect()
}

fn test(text: &mut String, of: &Draft) {
    let zero = r#""energy": "zero""#;
    let mut steps = vec![
        step(
            "tools",
            "Count wrenches, picks and rags.",
            &format!(r#"{zero}, "asks": ["tools_out"]"#),
        ),
        step(
            "supply-on",
            "Screw TS-1 to the test point.",
            &format!(r#"{zero}, "does": [{{"cover_on": "TS-1"}}]"#),
        ),
    ];
    let (mut isolates, mut proves) = (String::new(), Vec::new());
    for (at, energy) in of.energies.iter().enumerate() {
        let (n, point) = (at + 1, quoted(&drain(energy)));
        steps.push(step(
            &format!("unlock-drain-{n}"),
            &format!("Take lock L-{} off the {}.", 2 * at + 2, drain(energy)),
            &format!(r#"{zero}, "does": [{{"unlock": {point}}}]"#),
        ));
        steps.push(step(
            &format!("shut-drain-{n}"),
            &format!("Shut the {} for the test.", drain(energy)),
            &format!(r#""does": [{{"restore": {point}}}]"#),
        ));
        let _ = write!(isolates, r#", {{"isolate": {point}}}"#);
        proves.push(format!(r#"{{"prove": {}}}"#, quoted(&energy.name)));
    }
    steps.push(step(
        "raise",
        &format!("Raise the test pressure to {}.", of.test),
        &format!(
            r#""lets_in": "test pressure {0}", "does": [{{"let_in": {{"chamber": "body", "pressure": "{0}", "gauge": "PG-T"}}}}]"#,
            of.test
        ),
    ));
    steps.push(step(
        "look",
        &format!("Look at each joint under {}.", of.test),
        &format!(r#""asks": [{}], "does": ["test"]"#, seen(of).join(", ")),
    ));
    steps.push(step(
        "vent-test",
        "Vent the test pressure to zero.",
        &format!(r#""safer": true, "does": [{{"let_out": "body"}}{isolates}]"#),
    ));
    steps.push(step(
        "zero-again",
        "Prove zero again.",
        &format!(
            r#""asks": [{{"zero": {{}}}}], "does": [{}]"#,
            proves.join(", ")
        ),
    ));
    steps.push(step(
        "supply-off",
        "Take TS-1 off.",
        &format!(r#"{zero}, "does": [{{"cover_off": "TS-1"}}]"#),
    ));
    section(text, "test", "Test", "test", &steps, false);
}

fn back(text: &mut String, of: &Draft) {
    let mut steps = vec![
        step(
            "tools-again",
            "Count wrenches, picks and rags again.",
            r#""asks": ["tools_out"]"#,
        ),
        step(
            "own-locks-off",
            "Take your own lock off.",
            r#""asks": ["own_locks_off"]"#,
        ),
    ];
    for (at, energy) in of.energies.iter().enumerate() {
        let (n, point) = (at + 1, quoted(&valve(energy)));
        steps.push(step(
            &format!("return-drain-{n}"),
            &format!("Shut the {}.", drain(energy)),
            &format!(r#""does": [{{"restore": {}}}]"#, quoted(&drain(energy))),
        ));
        steps.push(step(
            &format!("unlock-{n}"),
            &format!("Take lock L-{} off the {}.", 2 * at + 1, valve(energy)),
            &format!(r#""does": [{{"unlock": {point}}}]"#),
        ));
        steps.push(step(
            &format!("open-{n}"),
            &format!("Open the {} slowly.", valve(energy)),
            &format!(
                r#""lets_in": {}, "does": [{{"restore": {point}}}]"#,
                quoted(&format!("{} {}", energy.name, energy.pressure))
            ),
        ));
    }
    steps.push(step(
        "back",
        "Take the unit back.",
        r#""hold": "operations""#,
    ));
    steps.push(step("sign", "Sign the record.", r#""asks": ["sign"]"#));
    section(text, "return", "Return", "returning", &steps, true);
}
