//! The shipped script as the demo's robot writes it, who answers every question of FV-3302.

use std::fmt::Write as _;

use chrono::NaiveDateTime;
use reseat::demo::ORDINARY;
use reseat::demo::robot::{Doing, Robot};
use reseat::desk::{Desk, Open, SetTime};
use reseat_record::log::Id;
use reseat_record::rebuild::{Command, Ended, Start, Wants};

use crate::close_the_open_one;
use crate::house::{CLOCK, House, SECRETS};

/// The robot's answers to a whole rebuild, one line each, with the steps as remarks.
pub(crate) fn script_of_the_robot() -> String {
    let house = House::demo();
    close_the_open_one(&house);
    let time = SetTime::at(CLOCK).unwrap();
    let mut desk = Desk::open(&house.home(), Box::new(time)).unwrap();
    let mut pins: Vec<(Id, &str, &str)> = Vec::new();
    for line in SECRETS.lines() {
        let mut parts = line.split('\t');
        let (name, passphrase, pin) = (
            parts.next().unwrap(),
            parts.next().unwrap(),
            parts.next().unwrap(),
        );
        let id = desk.register().person_named(name).unwrap().id;
        desk.unseal(&id, passphrase).unwrap();
        pins.push((id, name, pin));
    }
    let performer = pins[1].0;
    desk.check_pin(&performer, pins[1].2).unwrap();
    let start = Start {
        work_order: "WO 26-1111".into(),
        tag: "FV-3302".into(),
        serial: "TP-0388".into(),
        mismatch: None,
        unit: "TP-0388".into(),
        procedure: desk.register().approvals()[0].sha256,
        choices: reseat_procedure::Choices::default(),
        kit_lot: "K3302-0070".into(),
        performer,
    };
    let mut open = desk.start(start).unwrap();
    let mut robot = Robot::new(performer, 7);
    robot.ordinary = ORDINARY.into_iter().collect();
    let mut script = String::from(
        "# A whole rebuild of FV-3302 in line mode, from the start to both signatures.\n\
         # For a demo home in which FV-3302 has no open rebuild; whole-rebuild.sh makes one and runs this.\n\
         # Written by the demo's robot; a test keeps it fresh.\n\
         # Work order, serial, procedure, kit lot, performer.\n\
         WO 26-1111\nTP-0388\n1\nK3302-0070\nInes Falk\n\
         # Agreed with in this run, the clock is believed beyond midnight, should the rest run over it.\n\
         clock agree\n",
    );
    desk.agree_clock(&performer).unwrap();
    let mut step = String::new();
    while let Some(lines) = answer(&mut desk, &mut open, &mut robot, &pins, &mut step) {
        script.push_str(&lines);
    }
    assert_eq!(open.rebuild.ended(), Some(Ended::Signed));
    script
}

/// Another than the performer where there is one, the first by name.
fn by_name(among: &[(Id, String)], performer: &Id) -> Id {
    let others = among.iter().filter(|(id, _)| id != performer);
    others
        .min_by_key(|(_, name)| name.clone())
        .map_or(*performer, |(id, _)| *id)
}

/// The robot's answer to one ask as lines of a script, done at the desk as well.
fn answer(
    desk: &mut Desk,
    open: &mut Open,
    robot: &mut Robot,
    pins: &[(Id, &str, &str)],
    last: &mut String,
) -> Option<String> {
    let stamp = desk.stamp(Some(robot.performer));
    let ask = open.rebuild.ask(desk.register(), &stamp);
    let mut said = String::new();
    if let Some(step) = &ask.step
        && step.id != *last
    {
        last.clone_from(&step.id);
        writeln!(said, "# {} {}: {}", step.number, step.id, step.text).unwrap();
    }
    let (command, line, by) = match robot.answer(&open.rebuild, desk.register(), &stamp, &ask) {
        Doing::Nothing => return None,
        Doing::Waits { until } => {
            let instant =
                |text: &str| NaiveDateTime::parse_from_str(text, "%Y-%m-%dT%H:%M:%S%.3fZ").unwrap();
            let left = instant(&until.unwrap()) - instant(&stamp.utc);
            let minutes = u32::try_from(left.num_minutes()).unwrap();
            let line = format!("run on {minutes} min");
            (Command::RunOn { minutes }, line, robot.performer)
        }
        Doing::Types { text, by } => {
            // Identifiers are random, so the first of a list differs from home to home; the first by name does not.
            let (text, by) = match &ask.wants {
                Wants::Signature { among, .. } | Wants::Person(among) => {
                    let by = by_name(among, &robot.performer);
                    (by.to_string(), by)
                }
                _ => (text, by),
            };
            let command = ask.answer(&text).unwrap();
            let signs = matches!(ask.wants, Wants::Signature { .. });
            let line = match &ask.wants {
                Wants::Act => "done".to_owned(),
                Wants::Text => format!("= {text}"),
                Wants::Choice(labels)
                    if labels.iter().all(|label| label.parse::<u32>().is_err()) =>
                {
                    labels[text.parse::<usize>().unwrap() - 1].clone()
                }
                Wants::Signature { .. } | Wants::Person(_) => {
                    pins.iter().find(|(id, ..)| *id == by).unwrap().1.to_owned()
                }
                _ => text,
            };
            (command, line, if signs { by } else { robot.performer })
        }
    };
    let (id, _, pin) = pins.iter().find(|(id, ..)| *id == by).unwrap();
    desk.check_pin(id, pin).unwrap();
    desk.act(open, command, id, Some(id))
        .unwrap_or_else(|fault| panic!("{fault} at {ask:#?}"));
    writeln!(said, "{line}").unwrap();
    Some(said)
}
