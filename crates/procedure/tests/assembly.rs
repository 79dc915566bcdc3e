//! The transition by itself: what an act makes of the assembly, and what it refuses.
#![allow(clippy::unwrap_used, reason = "a test")]

use reseat_procedure::assembly::{Act, Assembly, State};
use reseat_procedure::model::{Deed, EnergyState};
use reseat_procedure::{Choices, Procedure, all_choices, builtin, codes, read};

fn sound() -> Procedure {
    read(include_bytes!("cases/sound.json")).unwrap()
}

fn epdm() -> Choices {
    Choices([("ring".to_owned(), "epdm".to_owned())].into())
}

/// All deeds of a route before the step of this id, own locks and the release included, folded through `after`.
fn until(procedure: &Procedure, assembly: &Assembly<'_>, choices: &Choices, id: &str) -> State {
    let mut state = assembly.in_service();
    for place in procedure.route(choices).places {
        let step = procedure.step(place);
        if step.id == id {
            break;
        }
        if step.id == "own" {
            state = assembly.after(&state, &Act::OwnLocksOn).unwrap();
        }
        for deed in &step.does {
            state = assembly
                .after(&state, &Act::Deed(deed, step.energy))
                .unwrap_or_else(|fault| unreachable!("{}: {fault:?}", step.id));
        }
        if step.id == "zero" {
            state = assembly.after(&state, &Act::ZeroReleased).unwrap();
        }
    }
    state
}

#[test]
fn parts_and_joints_follow_the_deeds() {
    let (procedure, choices) = (sound(), epdm());
    let assembly = Assembly::new(&procedure, &choices);
    let (cap, ring, joint) = (
        assembly.part("cap").unwrap(),
        assembly.part("ring-epdm").unwrap(),
        assembly.joint("J1").unwrap(),
    );
    assert_eq!(assembly.part("ring-fkm"), None);
    let apart = until(&procedure, &assembly, &choices, "dispositions");
    assert_eq!(
        (
            apart.parts[cap].on,
            apart.parts[ring].on,
            apart.parts[ring].off
        ),
        (0, 0, 1)
    );
    assert!(
        apart.joints[joint].slack && apart.joints[joint].cracked && !apart.joints[joint].fastened
    );
    let together = until(&procedure, &assembly, &choices, "tools");
    assert_eq!(
        (
            together.parts[cap].on,
            together.parts[ring].on,
            together.parts[ring].fitted
        ),
        (1, 1, 1)
    );
    assert!(
        !together.joints[joint].slack
            && together.joints[joint].fastened
            && !together.joints[joint].tested
    );
    assert!(together.parts[ring].verified);
    let tested = until(&procedure, &assembly, &choices, "vent-test");
    assert!(
        tested.joints[joint].tested
            && !tested.let_in.is_empty()
            && tested.proved.iter().all(|proved| !proved)
    );
}

#[test]
fn a_refused_act_leaves_the_state_as_it_was() {
    let (procedure, choices) = (sound(), epdm());
    let assembly = Assembly::new(&procedure, &choices);
    let code = |state: &State, deed: &Deed| {
        assembly
            .after(state, &Act::Deed(deed, EnergyState::Zero))
            .map(|_| ())
            .unwrap_err()
            .code
    };
    let cap_off = Deed::Off {
        part: "cap".to_owned(),
        count: 1,
    };
    let before = until(&procedure, &assembly, &choices, "own");
    let kept = before.clone();
    assert_eq!(code(&before, &cap_off), codes::OWN_LOCKS_MISSING);
    assert_eq!(before, kept);
    let zero = until(&procedure, &assembly, &choices, "slacken");
    assert_eq!(code(&zero, &cap_off), codes::PART_STILL_CLAMPED);
    assert_eq!(
        code(
            &zero,
            &Deed::Unfasten {
                joint: "J1".to_owned()
            }
        ),
        codes::CRACK_ORDER
    );
    assert_eq!(
        code(
            &zero,
            &Deed::Off {
                part: "ring-epdm".to_owned(),
                count: 1
            }
        ),
        codes::PART_COVERED
    );
    assert_eq!(
        code(
            &zero,
            &Deed::Off {
                part: "ring-fkm".to_owned(),
                count: 1
            }
        ),
        codes::PART_NOT_ON_ROUTE
    );
    let under_test = until(&procedure, &assembly, &choices, "hold");
    assert_eq!(
        code(
            &under_test,
            &Deed::Slacken {
                joint: "J1".to_owned()
            }
        ),
        codes::HANDS_ON_UNDER_TEST
    );
}

/// At the end of a shipped procedure the unit is as it was in service: nothing missing, loose, locked or under test.
#[test]
fn a_shipped_procedure_ends_as_it_began() {
    for (name, bytes) in builtin() {
        let procedure = read(bytes).unwrap();
        for choices in all_choices(&procedure) {
            let assembly = Assembly::new(&procedure, &choices);
            let start = assembly.in_service();
            let mut state = start.clone();
            for place in procedure.route(&choices).places {
                let step = procedure.step(place);
                for deed in &step.does {
                    assembly.apply(&mut state, &Act::Deed(deed, step.energy), &mut Vec::new());
                }
            }
            let on = |state: &State| state.parts.iter().map(|part| part.on).collect::<Vec<_>>();
            assert_eq!(on(&state), on(&start), "{name}");
            let held = |state: &State| {
                let points = state.points.iter();
                points
                    .map(|point| (point.isolated, point.locked))
                    .collect::<Vec<_>>()
            };
            assert_eq!(held(&state), held(&start), "{name}");
            assert_eq!(
                (state.covers, state.let_in),
                (start.covers, start.let_in),
                "{name}"
            );
            assert!(state.joints.iter().all(|joint| !joint.slack), "{name}");
        }
    }
}
