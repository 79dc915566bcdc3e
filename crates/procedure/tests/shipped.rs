//! Every shipped procedure against the outline it was written from: how many acts each choice of options has, and what
//! kind of act stands at which number.
//!
//! SOURCE of the letters and counts: the outlines of the invented sites Tern Point, Copperbeck and MV Skerrin (common practice, no
//! source, where the outline names none).

use reseat_procedure::model::{Asked, Procedure, Step, Verify, When};
use reseat_procedure::{Severity, all_choices, builtin, prove, read};

/// File, acts by option value, and the outline.
type Outline = (&'static str, &'static [(&'static str, usize)], &'static str);

/// The outline has one word an act: S makes safer, E lets energy in, H hold, CV and IV verification, O
/// orientation, J joint, M measured, a full stop where the outline has no letter; behind a stroke the option value it
/// belongs to.
const OUTLINES: &[Outline] = &[
    (
        "BPR-VENT-11.json",
        &[("pilot=breathing", 155), ("pilot=supplied", 172)],
        ". . H . . . M . H . . . . . . ./supplied M M/supplied M M S S S S S/supplied S/supplied S/supplied S S S M . S S S M M \
     M/supplied S S S S M . . H . ./supplied . . . . . . . . . ./supplied ./breathing . . . . . . . . . . . . . . . . . . . \
     M M M M . . ./supplied ./breathing . . . H . . O O CV . . O . . M J . . IV . O . . JCV OCV O . O IV . . . J . \
     O/supplied ./supplied ./supplied O/breathing . M . . . ./supplied . . . . . . E M S . E/supplied M/supplied E . J M M \
     M M M S/supplied M/supplied S M . ./supplied . M . . . . ./supplied ./supplied . . . E H M . M H . .",
    ),
    (
        "TCV-KB-02.json",
        &[("", 190)],
        ". . H . . . . . . . . . M M . M H M . S S S S S S S S S S S S S S S S M S S M M S S S S . M . . . M S S S M . . . H . \
     . M . . . . . . . . . . . . . . . . . . . . . . . M M M M M . . H . . CV OCV OCV . . . CV . . . . . JCV OCV OCV OCV . \
     . . . . J . . J . . . E . S M . IV . M M . . . . E S M J . E M M . . . . E . E M S . . E M . M S M . . . . . . . . . . \
     . . . . . . . . . E E . . . . . . H . .",
    ),
    (
        "PCV-2107.json",
        &[("", 153)],
        ". . H . . . . . . . . M . . M . M M S S S S S S S M . S S S M M S S S S . . H . . . . . . . . . . . . . . . . . . . . \
     . . . . . . M M M . . . M . . H . . . . O . CV OCV . . J . CV OCV O . . . J . O IV . . . . . JCV . M . . . . . . . . E \
     M M S . . E M S E . M J M . M M S S S M . . M . . . . . . . E . M M . . H . .",
    ),
    (
        "PSV-2115.json",
        &[("cap=plain", 137), ("cap=lever", 147)],
        ". . . H . H . . . . . . . M S S S S S S S S S S M S S M . . H . . . . . . . . . E M M S M . ./lever ./lever ./lever . \
     . . M . S . . . . . . . . . . . . . . . . . . M M M . . H . . . . O CV . . OCV . O IV . . . . JCV . . M . . . . E . M \
     J E M M M S M . . ./lever ./lever ./lever E/lever M/lever S/lever M/lever IV . M . . O . . JCV . . . . . . E M . . M . \
     . . H .",
    ),
    (
        "PRV-CO2-04.json",
        &[("", 158)],
        ". . H . . . M . . . . . . . . M . . M . M M S S S S S S M M . S S S M M S S S S M . . H . . . . . . . . . . . . . . . \
     . . . . . . . . . . . . M M M M . . . . . H . . . . O . CV OCV . OCV OCV . . . O . . J . . O IV . . . . . JCV . M . . \
     . M . . . . . E M . . M . . M M J M . M M S S S S S M . M . . . . . . . E . M . . M H . .",
    ),
    (
        "PRS-STM-07.json",
        &[("", 189)],
        ". . H . . . . . . . . M M . M M S S S S S S S S S S S S S S M M . S S M M S S S S S S . . H . . . . . . . . . . . . . \
     . . . . . . . . . . . . . . . . . . . . . . . . . . . . . . . M M M M M . . . . H CV OCV OCV . . . . CV . . . . . JCV \
     OCV . O CV . . . . JCV . CV OCV OCV . . O . O IV . . . J . . . . M M . . . . . . . . E M M S M . . . . . . . . . . E E \
     . . . . M M J M . M M . . M . . M . H . .",
    ),
    (
        "BL-NRV-06.json",
        &[("disc=metal", 136), ("disc=rubber", 134)],
        ". . H . H . M . . . . . . . M M . S S S S S S IV S S S S S M M S S S S M . . H . . . . . . M . . . . . . . . ./rubber \
     ./metal . . . . . M M M ./metal . . M ./metal . H O/rubber O/metal . . J . . . CV . . O . . JCV OCV . . . J . M . . . \
     . . . . E M . . . E M S . M . . . E M . M S M . . . . . . . E M . . . . . M . H . .",
    ),
    (
        "LO-TCV-01.json",
        &[("", 131)],
        ". . H . . . . . . . M M . H S S S S S S S S S S S S S S S S M S S S S M M S S . . H . . . . . . . . . . . . . . . . . \
     . . . . M M M M M M M . . M . H . . . . CV OCV OCV . . CV . . O . . JCV OCV . . . J . M . . . . . . . E M S M . . . . \
     . . . . . . . . . . E M . . . H . .",
    ),
    (
        "SA-PRV-03.json",
        &[("", 172)],
        ". . H . H . . . . . . M . . M . M M S S S S S S M . S S S M M S S S S . . H . . . . . . . . . . . . . . . . . . . . . \
     . . . . . . M M M M . . . . . H . . . . . CV OCV . O . CV . . J M . O . . J . . O IV . . . . . JCV . M . . . . . . . E \
     M M S M . . . . E M S M . . . . . E . M . . . M . . M M J M . M M S S S S S M . M . . . . . . . E . M . . H . . .",
    ),
];

/// Acts the outline calls measured whose answer is counted or looked at, so no reading.
const LOOKED_AT: &[&str] = &["count-threads", "outlet-side", "watch-joint", "white-paper"];

fn procedure(file: &str) -> Procedure {
    let (_, bytes) = builtin()
        .iter()
        .find(|(name, _)| *name == file)
        .expect("a shipped procedure");
    read(bytes).expect("a shipped procedure is read")
}

fn letters(step: &Step) -> String {
    let asks = |wanted: fn(&Asked) -> bool| step.asks.iter().any(wanted);
    let mut text = String::new();
    let mut add = |letter: &str, stands: bool| text.push_str(if stands { letter } else { "" });
    add("O", asks(|ask| matches!(ask, Asked::Orientation { .. })));
    add("J", asks(|ask| matches!(ask, Asked::Tighten { .. })));
    add("S", step.safer);
    add("E", step.lets_in.is_some());
    add("H", step.hold.is_some());
    let measured = asks(|ask| {
        matches!(
            ask,
            Asked::Reading(_) | Asked::Computed { .. } | Asked::Zero { .. }
        )
    }) || LOOKED_AT.contains(&step.id.as_str());
    add("M", measured);
    add("CV", step.verify == Some(Verify::Concurrent));
    add("IV", step.verify == Some(Verify::Independent));
    text
}

/// Whether the outline's letters are those of a step. A hold, a verification or an act that lets energy in may measure
/// besides; a re-check of a joint is measured in one outline and recorded in another.
fn same(step: &Step, outline: &str) -> bool {
    let found = letters(step);
    let besides = |letters: &str| letters.replace('M', "");
    let rechecks = step
        .asks
        .iter()
        .any(|ask| matches!(ask, Asked::Recheck { .. }));
    found == outline.replace('.', "")
        || (found.len() > 1 && besides(&found) == outline)
        || (rechecks && matches!(outline, "M" | "."))
}

#[test]
fn every_route_has_the_acts_of_its_outline() {
    for (file, counts, outline) in OUTLINES {
        let procedure = procedure(file);
        let values: Vec<&str> = procedure
            .options
            .iter()
            .flat_map(|option| option.values.iter().map(|(value, _)| value.as_str()))
            .collect();
        for choices in all_choices(&procedure) {
            let route = procedure.route(&choices);
            let (_, wanted) = counts
                .iter()
                .find(|(given, _)| {
                    given.split_once('=').is_none_or(|(option, value)| {
                        choices.0.get(option).is_some_and(|chosen| chosen == value)
                    })
                })
                .expect("every route is counted");
            assert_eq!(route.len(), *wanted, "{file} {choices:?}");
            let acts = outline.split_whitespace().filter_map(|word| {
                let (letters, only) = word.split_once('/').unwrap_or((word, ""));
                assert!(only.is_empty() || values.contains(&only), "{file}: {only}");
                let chosen = choices.0.values().any(|value| value == only);
                (only.is_empty() || chosen).then_some(letters)
            });
            let wrong: Vec<String> = acts
                .zip(&route.places)
                .enumerate()
                .map(|(index, (letters, place))| (index + 1, letters, procedure.step(*place)))
                .filter(|(_, outline, step)| !same(step, outline))
                .map(|(number, outline, step)| {
                    format!("{number} {outline} but {} [{}]", letters(step), step.id)
                })
                .collect();
            assert!(wrong.is_empty(), "{file} {choices:?}\n{}", wrong.join("\n"));
        }
    }
}

/// The codes of the errors of a shipped procedure after a change.
fn after(file: &str, change: impl Fn(&mut Procedure)) -> Vec<&'static str> {
    let mut procedure = procedure(file);
    change(&mut procedure);
    prove(&procedure)
        .into_iter()
        .filter(|finding| finding.severity == Severity::Error)
        .map(|finding| finding.code)
        .collect()
}

/// What is written at a part or joint opens the exception, and nothing else does.
#[test]
fn exceptions_hold_only_where_they_are_written() {
    let found = after("BPR-VENT-11.json", |procedure| {
        procedure
            .joints
            .iter_mut()
            .for_each(|joint| joint.setting = false);
    });
    assert!(found.contains(&"opened-under-pressure"), "{found:?}");
    assert!(found.contains(&"hands-on-under-test"), "{found:?}");
    let found = after("TCV-KB-02.json", |procedure| {
        procedure
            .parts
            .iter_mut()
            .for_each(|part| part.long_tool = false);
    });
    assert!(
        found.contains(&"opened-under-pressure") || found.contains(&"opened-before-locked"),
        "{found:?}"
    );
    assert!(found.contains(&"hands-on-under-test"), "{found:?}");
    let found = after("PSV-2115.json", |procedure| {
        procedure
            .parts
            .iter_mut()
            .for_each(|part| part.after_test = false);
    });
    assert!(found.contains(&"test-too-early"), "{found:?}");
    let found = after("PSV-2115.json", |procedure| {
        procedure
            .joints
            .iter_mut()
            .for_each(|joint| joint.after_test = false);
    });
    assert!(found.contains(&"test-too-early"), "{found:?}");
}

/// A source that only one variant has is locked and proved on that route alone.
#[test]
fn a_source_of_one_variant_is_wanted_on_its_route_alone() {
    let found = after("BPR-VENT-11.json", |procedure| {
        procedure
            .points
            .iter_mut()
            .for_each(|point| point.when = When::default());
    });
    assert!(found.contains(&"opened-before-locked"), "{found:?}");
    let found = after("BPR-VENT-11.json", |procedure| {
        procedure
            .zero
            .iter_mut()
            .for_each(|side| side.when = When::default());
    });
    assert!(found.contains(&"opened-under-pressure"), "{found:?}");
    for (file, _) in builtin() {
        assert_eq!(after(file, |_| {}), Vec::<&str>::new(), "{file}");
    }
}

/// A prevailing torque is read before the nut is tightened, as a torque, in a step that always applies.
#[test]
fn a_prevailing_torque_is_read_before_its_joint_is_tightened() {
    let reading = |procedure: &mut Procedure, change: &dyn Fn(&mut Step)| {
        let steps = procedure
            .sections
            .iter_mut()
            .flat_map(|section| &mut section.steps);
        steps
            .filter(|step| step.id == "read-prevailing-torque-over")
            .for_each(change);
    };
    let found = [
        after("BPR-VENT-11.json", |procedure| {
            for joint in &mut procedure.joints {
                joint.prevailing_read = joint.prevailing.map(|_| "stem-runout".to_owned());
            }
        }),
        after("BPR-VENT-11.json", |procedure| {
            reading(procedure, &|step| step.asks.clear());
        }),
        after("BPR-VENT-11.json", |procedure| {
            reading(procedure, &|step| step.not_applicable = true);
        }),
        after("BPR-VENT-11.json", |procedure| {
            for joint in &mut procedure.joints {
                joint.prevailing = None;
            }
        }),
        after("BPR-VENT-11.json", |procedure| {
            reading(procedure, &|step| {
                step.when = When(vec![("size".to_owned(), ["2".to_owned()].into())]);
            });
        }),
    ];
    for (at, found) in found.iter().enumerate() {
        assert!(found.contains(&"prevailing-not-read"), "{at}: {found:?}");
    }
}
