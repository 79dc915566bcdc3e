//! The model itself: it follows a whole rebuild, can fail at each of its rules, and knows what is never entered late.

use reseat_record::log::Id;
use reseat_record::rebuild::{Command, Point, Wants};

use crate::Watched;
use crate::rebuild_site::{FALK, ODDE};

#[test]
fn the_model_follows_a_whole_rebuild_and_objects_to_nothing() {
    for place in [0, 8] {
        let mut watched = Watched::at(place);
        watched.site.until("");
        watched.watches();
        assert!(watched.site.rebuild().ended().is_some());
    }
}

/// The model can fail at each of its rules: what it is told behind the engine's back, it objects to.
#[test]
fn the_model_objects_at_each_of_its_rules() {
    let objects = |watched: &Watched, command: Command, by: Id| {
        let entry = watched
            .site
            .rebuild()
            .decide(&watched.site.register, command, &watched.site.stamp(by))
            .unwrap();
        watched
            .model
            .objects(&entry.kind, &entry.body, &entry.utc, "trusted")
    };
    let tell = |watched: &mut Watched, kind: &str, body: serde_json::Value| {
        let utc = watched.site.stamp(FALK).utc;
        watched.model.takes(
            kind,
            body.as_object().unwrap(),
            &FALK.to_string(),
            &utc,
            "trusted",
        );
    };
    let own = |id: Id, on: bool| serde_json::json!({"owner": {"id": id.to_string()}, "number": "1", "on": on});
    let act = |watched: &Watched| watched.site.ask().answer("").unwrap();
    // Energy let in with a worker's lock on, tools in the way, or people there.
    for (kind, body, why) in [
        ("own_lock/1", own(ODDE, true), "own lock on"),
        (
            "cleared/1",
            serde_json::json!({"step": "x", "what": "tools", "answer": "1", "clear": false}),
            "tools",
        ),
        (
            "cleared/1",
            serde_json::json!({"step": "x", "what": "people", "answer": "not yet", "clear": false}),
            "people",
        ),
    ] {
        let mut watched = Watched::at(11);
        assert_eq!(objects(&watched, act(&watched), FALK), None);
        tell(&mut watched, kind, body);
        let told = objects(&watched, act(&watched), FALK).unwrap();
        assert!(told.contains(why), "{told}");
    }
    // A permit that has ended.
    let mut watched = Watched::at(2);
    assert_eq!(objects(&watched, act(&watched), FALK), None);
    let ended = serde_json::json!({"step": "x", "text": "x",
        "permit": {"what": "permit", "number": "1", "ends": "2026-03-12T05:00:00.000Z"}});
    tell(&mut watched, "permit/1", ended);
    assert!(
        objects(&watched, act(&watched), FALK)
            .unwrap()
            .contains("ended")
    );
    // A verifier whose lock is off.
    let mut watched = Watched::at(2);
    watched
        .site
        .goes_on(|ask| matches!(ask.point, Point::Verify(_)));
    watched.watches();
    let verify = watched.site.ask().answer("1").unwrap();
    let Wants::Signature { among, .. } = watched.site.ask().wants else {
        panic!("{:#?}", watched.site.ask())
    };
    assert_eq!(objects(&watched, verify.clone(), among[0].0), None);
    tell(&mut watched, "own_lock/1", own(among[0].0, false));
    assert!(
        objects(&watched, verify, among[0].0)
            .unwrap()
            .contains("verifier")
    );
    // A lock that a test took off and nothing put back.
    let mut watched = Watched::at(9);
    assert_eq!(objects(&watched, act(&watched), FALK), None);
    tell(
        &mut watched,
        "done/1",
        serde_json::json!({"step": "test-unlock-b-1", "locks_off": {"V-C41": "B-1"}}),
    );
    assert!(
        objects(&watched, act(&watched), FALK)
            .unwrap()
            .contains("V-C41")
    );
}

/// Energy that was in fills a spring again: hands go in only after its release, and only where the work was taken back.
#[test]
fn the_model_objects_to_hands_where_a_spring_was_not_released_since_energy_was_in() {
    let mut watched = Watched::at(2);
    let before = watched.site.ask().answer("").unwrap();
    let entry = watched
        .site
        .rebuild()
        .decide(&watched.site.register, before, &watched.site.stamp(FALK))
        .unwrap();
    let objects = |watched: &Watched| {
        let utc = watched.site.stamp(FALK).utc;
        watched
            .model
            .objects(&entry.kind, &entry.body, &utc, "trusted")
    };
    assert_eq!(objects(&watched), None);
    let tell = |watched: &mut Watched, kind: &str, body: serde_json::Value| {
        let utc = watched.site.stamp(FALK).utc;
        let body = body.as_object().unwrap();
        watched
            .model
            .takes(kind, body, &FALK.to_string(), &utc, "trusted");
    };
    let done = |step: &str| serde_json::json!({"step": step});
    tell(&mut watched, "done/1", done("raise-70"));
    assert!(objects(&watched).unwrap().contains("energy is in"));
    let sides: Vec<String> = watched
        .site
        .rebuild()
        .procedure()
        .zero
        .iter()
        .map(|side| side.id.clone())
        .collect();
    for side in &sides {
        let read =
            serde_json::json!({"step": "x", "thing": format!("zero/{side}"), "outcome": "ACCEPT"});
        tell(&mut watched, "reading/1", read);
        let vent =
            serde_json::json!({"step": "x", "side": side, "came": "nothing came", "clear": true});
        tell(&mut watched, "vented/1", vent);
    }
    tell(&mut watched, "released/1", done("x"));
    let told = objects(&watched).unwrap();
    assert!(told.contains("actuator spring not relieved"), "{told}");
    let answer = |leads: &str| serde_json::json!({"step": "spring-free", "ask": 0, "leads": leads});
    tell(&mut watched, "answered/1", answer("finding 1"));
    assert!(objects(&watched).unwrap().contains("actuator spring"));
    tell(&mut watched, "answered/1", answer("on"));
    assert_eq!(objects(&watched), None);
}

/// Late entries are taken among the random commands, and the model knows what may never be one.
#[test]
fn late_entries_are_written_and_the_model_objects_to_what_none_may_be() {
    let mut watched = Watched::at(3);
    watched.enters_late(0);
    assert_eq!(watched.late, 1, "{:#?}", watched.site.ask());
    let objects = |watched: &Watched, kind: &str, body: serde_json::Value| {
        let body = body.as_object().unwrap();
        watched.model.objects_late(kind, body)
    };
    for (kind, body) in [
        ("released/1", serde_json::json!({"step": "x"})),
        ("vented/1", serde_json::json!({"step": "x", "side": "up"})),
        (
            "done/1",
            serde_json::json!({"step": "lock-a2", "locks_on": {"V-3301": "A-2"}}),
        ),
        (
            "reading/1",
            serde_json::json!({"step": "x", "thing": "zero/upstream"}),
        ),
    ] {
        assert!(objects(&watched, kind, body).is_some(), "{kind}");
    }
    let act = serde_json::json!({"step": "tighten-j1"});
    assert_eq!(objects(&watched, "pulled/1", act), None);
    // After it nothing the hands do is open, by the model's own account.
    let pulled = serde_json::json!({"step": "tighten-j1"});
    let utc = watched.site.stamp(FALK).utc;
    let why = watched
        .model
        .objects("pulled/1", pulled.as_object().unwrap(), &utc, "trusted");
    assert!(why.unwrap().contains("not proved"));
}

#[test]
fn the_model_objects_to_work_that_the_engine_would_refuse() {
    // The model can fail: an act at a zero step right after a lock came off is objected to.
    let mut watched = Watched::at(2);
    let entry = {
        let command = watched.site.ask().answer("").unwrap();
        watched
            .site
            .rebuild()
            .decide(&watched.site.register, command, &watched.site.stamp(FALK))
            .unwrap()
    };
    assert!(
        watched
            .model
            .objects(&entry.kind, &entry.body, &entry.utc, "trusted")
            .is_none()
    );
    watched.tries(
        Command::LockOff {
            point: "V-3301".into(),
            absent_owner: None,
        },
        FALK,
    );
    assert!(
        watched
            .model
            .objects(&entry.kind, &entry.body, &entry.utc, "trusted")
            .is_some()
    );
}
