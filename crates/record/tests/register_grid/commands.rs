//! What each good command writes, who may give it, and what a register keeps of it.

use crate::register_site::*;
use crate::{good, named, nobody, recall};
use reseat_procedure::model::Role;
use reseat_record::log::{Entry, Id, Sealed, Stamp};
use reseat_record::register::{Body, Command, FindingShown, Register};
use serde_json::Map;
use std::collections::BTreeSet;

#[test]
fn every_good_command_gives_an_entry_of_a_known_kind_and_none_changes_the_state_by_deciding() {
    let mut kinds = BTreeSet::new();
    for (what, command, by) in good() {
        let mut bench = Bench::whole();
        let before = bench.register.clone();
        let entry = bench
            .register
            .decide(command.clone(), &bench.stamp(Some(by)))
            .unwrap_or_else(|refusal| panic!("{what}: {refusal}"));
        assert_eq!(bench.register, before, "{what}");
        let body = Body::read(&entry.kind, &entry.body)
            .unwrap_or_else(|| panic!("{what}: {}", entry.kind));
        assert_eq!(body.members(), entry.body, "{what}");
        kinds.insert(entry.kind);
        bench.does(command, Some(by)).unwrap();
        assert_ne!(bench.register, before, "{what}");
    }
    // The kinds not in the list are made by commands that need another state.
    let other = ["founded/1", "taken_on_again/1", "returned/1", "ran_on/1"];
    let all: BTreeSet<String> = Body::KINDS.iter().map(ToString::to_string).collect();
    assert_eq!(
        all,
        kinds.into_iter().chain(other.map(String::from)).collect()
    );
}

#[test]
fn nothing_is_written_before_founding() {
    let bench = Bench::new();
    for (what, command, by) in good() {
        assert_eq!(bench.refuses(command, Some(by)), "not-founded", "{what}");
    }
    assert_eq!(
        Bench::founded().refuses(found(), Some(SEFTON)),
        "already-founded"
    );
}

#[test]
fn strangers_the_retired_and_nobody_write_nothing() {
    let mut bench = Bench::whole();
    bench
        .does(
            Command::Retire {
                person: BREL,
                reason: "left".into(),
            },
            Some(SEFTON),
        )
        .unwrap();
    for (what, command, _) in good() {
        assert_eq!(
            bench.refuses(command.clone(), Some(nobody())),
            "no-person",
            "{what}"
        );
        assert_eq!(
            bench.refuses(command.clone(), Some(BREL)),
            "person-retired",
            "{what}"
        );
        let unnamed = bench.refuses(command, None);
        assert!(
            ["nobody-named", "lead-is-there"].contains(&unnamed),
            "{what}: {unnamed}"
        );
    }
}

#[test]
fn each_role_may_do_what_is_its_own_and_no_more() {
    // Falk is performer and verifier, Quist approver and author, Sefton lead.
    let free = [
        "fit",
        "remove",
        "check",
        "quarantine",
        "agree clock",
        "give clock",
        "remark",
        "amend",
    ];
    for (what, command, by) in good() {
        for person in [FALK, QUIST, SEFTON] {
            let found = Bench::whole()
                .register
                .decide(command.clone(), &Bench::whole().stamp(Some(person)));
            if free.contains(&what) || person == by {
                assert!(found.is_ok(), "{what}");
            } else {
                assert_eq!(found.unwrap_err().code(), "role-wanted", "{what}");
            }
        }
    }
}

#[test]
fn another_home_a_demo_or_a_bad_stamp_writes_nothing() {
    let bench = Bench::whole();
    let refuse = |change: fn(&mut Stamp)| {
        let mut stamp = bench.stamp(Some(FALK));
        change(&mut stamp);
        bench
            .register
            .decide(
                Command::Remark {
                    text: "x".into(),
                    of: None,
                },
                &stamp,
            )
            .unwrap_err()
            .code()
    };
    assert_eq!(
        refuse(|stamp| stamp.home = Id::from_bytes([3; 10])),
        "other-home"
    );
    assert_eq!(refuse(|stamp| stamp.demo = true), "demo-mixed");
    assert_eq!(refuse(|stamp| stamp.utc = "now".into()), "bad-stamp");
    assert_eq!(refuse(|stamp| stamp.offset = "CET".into()), "bad-stamp");
    assert_eq!(
        refuse(|stamp| stamp.acted = Some("earlier".into())),
        "bad-stamp"
    );
}

#[test]
fn what_a_newer_reseat_wrote_makes_the_register_read_only() {
    let mut member = Entry::clone(&Bench::whole().entries[9].entry);
    let bench = Bench::whole();
    member.number = bench.register.head().number + 1;
    member.previous = bench.register.head().hash;
    member.body.insert("colour".into(), "grey".into());
    member.signature = None;
    let next = |kind: &str| {
        Entry::next(
            &bench.register.head(),
            &bench.stamp(Some(FALK)),
            kind,
            1,
            Map::new(),
        )
    };
    let mut envelope = next("remark/1");
    envelope.body.insert("text".into(), "x".into());
    envelope.beyond.insert("weather".into(), "fair".into());
    for entry in [
        next("remark/2"),
        next("reading/1"),
        next("remark/1"),
        member,
        envelope,
    ] {
        let mut bench = Bench::whole();
        let sealed = entry.seal().unwrap();
        bench.register.apply(&sealed).unwrap();
        bench.entries.push(sealed);
        assert!(bench.register.newer().is_some());
        assert_eq!(bench.register.head(), bench.entries.last().unwrap().head());
        for (what, command, by) in good() {
            assert_eq!(
                bench.refuses(command, Some(by)),
                "written-by-newer",
                "{what}"
            );
        }
        // What follows moves the head and changes nothing else.
        let people = bench.register.people().count();
        let late = Bench::whole()
            .register
            .decide(
                enrol(ODDE, "Rurik Odde", &[Role::Performer]),
                &bench.stamp(Some(SEFTON)),
            )
            .unwrap();
        let late = Entry {
            number: bench.register.head().number + 1,
            previous: bench.register.head().hash,
            ..late
        };
        bench.register.apply(&late.seal().unwrap()).unwrap();
        assert_eq!(bench.register.people().count(), people);
    }
}

#[test]
fn a_recall_and_an_amendment_are_kept_with_what_they_speak_of() {
    let mut bench = Bench::whole();
    let sealed = bench.does(recall(), Some(SEFTON)).unwrap();
    let doubt = &bench.register.in_doubt()[0];
    assert_eq!(
        (doubt.instrument.as_str(), doubt.number, doubt.fact.hash),
        ("TW-19", 7, sealed.hash)
    );
    bench
        .does(
            Command::Amend {
                of: named(),
                text: "gland dry".into(),
                answers: Some("look again".into()),
            },
            Some(FALK),
        )
        .unwrap();
    let said = &bench.register.said()[0];
    assert_eq!(
        (said.by, said.of, said.amendment, said.text.as_str()),
        (Some(FALK), Some(named()), true, "gland dry")
    );
}

#[test]
fn any_flipped_byte_of_a_register_is_found() {
    let bench = Bench::whole();
    let whole: Vec<Vec<u8>> = bench
        .entries
        .iter()
        .map(|sealed| sealed.bytes.clone())
        .collect();
    for place in 0..whole.len() {
        for at in (0..whole[place].len()).step_by(7) {
            let mut damaged = whole.clone();
            damaged[place][at] ^= 1;
            let chain = reseat_record::log::verify_chain(damaged.iter().map(Vec::as_slice));
            // The last entry of this bench is a signed approval, so nothing is left that only a later entry could hold.
            assert!(
                !matches!(chain, reseat_record::log::Chain::Whole { .. }),
                "entry {} byte {at}",
                place + 1
            );
        }
    }
}

#[test]
fn a_register_read_back_from_its_bytes_decides_the_same() {
    let bench = Bench::whole();
    let read: Vec<Sealed> = bench
        .entries
        .iter()
        .map(|sealed| Sealed::read(&sealed.bytes).unwrap())
        .collect();
    let again = Register::replay(STREAM, &read).unwrap();
    for (what, command, by) in good() {
        let stamp = bench.stamp(Some(by));
        assert_eq!(
            again.decide(command.clone(), &stamp),
            bench.register.decide(command, &stamp),
            "{what}"
        );
    }
}

#[test]
fn an_approval_says_what_was_read_and_why_warnings_stand() {
    let mut bench = Bench::whole();
    let mut command = approve("B");
    if let Command::Approve { read, .. } = &mut command {
        read.findings = vec![FindingShown {
            code: "pass-steps".into(),
            weight: "warning".into(),
            step: Some("tighten-j1".into()),
        }];
        read.reason = Some("two passes, by the maker of the ring".into());
    }
    let sealed = bench.does(command, Some(QUIST)).unwrap();
    assert_eq!(sealed.entry.body["read"]["pages"], 170);
    assert_eq!(
        sealed.entry.body["read"]["findings"][0]["step"],
        "tighten-j1"
    );
    let standing = bench.register.approved_now("P-33-A").unwrap();
    let read = standing.read.as_ref().unwrap();
    assert_eq!(
        read.reason.as_deref(),
        Some("two passes, by the maker of the ring")
    );
    assert_eq!((read.count("warning"), read.count("error")), (1, 0));
}
