//! The stack after each step, and a procedure read page by page.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

use reseat_procedure::{Choices, Page, Reading, Severity, Stands, builtin, read, stacks};

fn fv3302() -> &'static [u8] {
    builtin()[0].1
}

fn shipped(name: &str) -> &'static [u8] {
    builtin().iter().find(|(file, _)| *file == name).unwrap().1
}

/// How a line of the stack stands after the step of this id.
fn after(step: &str, label: &str) -> String {
    let reading = Reading::of(fv3302()).unwrap();
    let pages = reading.pages(0);
    let page = pages
        .iter()
        .find(|page| page.step.as_ref().is_some_and(|at| at.id == step))
        .unwrap_or_else(|| panic!("no step {step}"));
    let stack = page.stack.as_ref().unwrap();
    let line = stack
        .lines
        .iter()
        .find(|line| line.label == label || line.joint.as_deref() == Some(label));
    line.unwrap_or_else(|| panic!("no line {label} in {:#?}", stack.lines))
        .words
        .clone()
}

#[test]
fn the_stack_follows_the_steps() {
    let procedure = read(fv3302()).unwrap();
    let route = procedure.route(&Choices::default());
    let drawn = stacks(&procedure, &Choices::default());
    assert_eq!(drawn.len(), route.len());
    let first = &drawn[0];
    assert!(
        first
            .lines
            .iter()
            .all(|line| line.stands == Stands::On && !line.changed),
        "in service: {first:#?}"
    );
    let last = drawn.last().unwrap();
    assert!(
        last.lines.iter().all(|line| line.stands == Stands::On),
        "rebuilt: {last:#?}"
    );
    assert!(last.covers.is_empty() && last.let_in.is_empty());
    assert_eq!(last.locked.0, 0);
    let apart = drawn
        .iter()
        .filter(|stack| stack.lines.iter().any(|line| line.stands == Stands::Off))
        .count();
    assert!(apart > 20, "{apart}");
    let tested = drawn
        .iter()
        .filter(|stack| !stack.let_in.is_empty())
        .count();
    assert!(tested > 2, "{tested}");
}

#[test]
fn what_lies_under_stands_below_and_a_joint_above_what_it_clamps() {
    for (name, bytes) in builtin() {
        let procedure = read(bytes).unwrap();
        let reading = Reading::of(bytes).unwrap();
        for (route, choices) in reading.routes().iter().enumerate() {
            let pages = reading.pages(route);
            let stack = pages[1].stack.as_ref().unwrap();
            let at = |wanted: &str| {
                stack
                    .lines
                    .iter()
                    .position(|line| line.joint.is_none() && line.label.ends_with(wanted))
            };
            for part in procedure.parts_on(choices) {
                let here = at(&part.label)
                    .unwrap_or_else(|| panic!("{name}: {} is not drawn", part.label));
                for over in part
                    .under
                    .iter()
                    .filter_map(|id| procedure.parts.iter().find(|other| other.id == *id))
                {
                    if let Some(above) = at(&over.label) {
                        assert!(
                            stack.lines[above].depth < stack.lines[here].depth,
                            "{name}: {} over {}",
                            over.label,
                            part.label
                        );
                    }
                }
            }
            for joint in procedure
                .joints
                .iter()
                .filter(|joint| choices.meet(&joint.when))
            {
                let here = stack
                    .lines
                    .iter()
                    .position(|line| line.joint.as_deref() == Some(joint.id.as_str()))
                    .unwrap();
                for part in joint
                    .clamps
                    .iter()
                    .filter_map(|id| procedure.parts.iter().find(|part| part.id == *id))
                {
                    if let Some(below) = at(&part.label) {
                        assert!(here < below, "{name}: {} above {}", joint.id, part.label);
                    }
                }
            }
        }
    }
}

#[test]
fn a_joint_is_named_by_how_it_stands() {
    let procedure = read(fv3302()).unwrap();
    let joint = &procedure.joints[0].id;
    let step_of = |wanted: &str| {
        let steps = procedure.sections.iter().flat_map(|section| &section.steps);
        let found = steps.rev().find(|step| {
            step.does.iter().any(|deed| {
                format!("{deed:?}").starts_with(wanted)
                    && format!("{deed:?}").contains(&format!("{joint:?}"))
            })
        });
        found
            .unwrap_or_else(|| panic!("no {wanted} of {joint}"))
            .id
            .clone()
    };
    assert_eq!(after(&step_of("Slacken"), joint), "slack");
    assert_eq!(after(&step_of("Crack"), joint), "open, fasteners on");
    assert_eq!(after(&step_of("Unfasten"), joint), "fasteners off");
    assert_eq!(after(&step_of("HandStart"), joint), "open, fasteners on");
    assert_eq!(after(&step_of("Tighten"), joint), "tight, not re-checked");
    assert_eq!(after(&step_of("Recheck"), joint), "tight, not tested");
}

#[test]
fn a_reading_is_whole_only_when_every_page_of_every_route_was_shown() {
    let mut reading = Reading::of(shipped("BPR-VENT-11.json")).unwrap();
    assert!(reading.routes().len() > 4);
    let (read, of) = reading.read_of();
    let all: usize = (0..reading.routes().len())
        .map(|route| reading.pages(route).len())
        .sum();
    assert_eq!(read, 0);
    assert!(of < all, "{of} pages differ among {all}");
    let mut shown = 0;
    let mut route = 0;
    while let Some((next, at)) = reading.unread(route) {
        route = next;
        let page = reading.pages(route)[at].clone();
        assert!(!reading.was_seen(&page));
        reading.see(&page);
        shown += 1;
        assert_eq!(reading.read_of().0, shown, "each page counts once");
    }
    assert_eq!((shown, reading.is_whole()), (of, true));
}

#[test]
fn findings_stand_on_the_page_of_their_step_and_on_the_routes_they_are_of() {
    let text = String::from_utf8(fv3302().to_vec()).unwrap();
    let broken = text.replacen("\"does\": [{\"hand_start\": \"J1\"}]", "\"does\": []", 1);
    assert_ne!(text, broken);
    let reading = Reading::of(broken.as_bytes()).unwrap();
    assert!(reading.count(Severity::Error) > 0);
    let pages = reading.pages(0);
    let held: Vec<&Page> = pages
        .iter()
        .filter(|page| !page.findings.is_empty())
        .collect();
    let told: usize = held.iter().map(|page| page.findings.len()).sum();
    assert_eq!(
        told,
        reading.findings().len(),
        "every finding stands on a page"
    );
    let at = held
        .iter()
        .find(|page| {
            page.findings
                .iter()
                .any(|finding| finding.code == "no-hand-start")
        })
        .unwrap();
    assert_eq!(at.step.as_ref().unwrap().id, "tighten-j1");
}

#[test]
fn a_text_that_is_no_procedure_is_not_opened() {
    let found = Reading::of(b"{").unwrap_err();
    assert_eq!(found[0].code, "not-json");
}
