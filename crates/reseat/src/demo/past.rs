//! What happened at Tern Point: four rebuilds of FV-3302 in two years, and one that is not done.

use std::collections::{BTreeMap, VecDeque};

use reseat_procedure::Choices;
use reseat_record::log::Sealed;
use reseat_record::rebuild::{Ask, Command, Inner, Point, Rebuild, Start};
use reseat_record::register;

use super::rehearsal::Rehearsal;
use super::robot::{Plan, Robot};
use super::tern_point::{INSTRUMENTS, ORDINARY, REBUILT};
use super::{DAY_MS, Maker, morning, procedure};
use crate::desk::{Fault, Time, procedure_hash};

/// One rebuild of the past.
struct Chapter {
    /// Days before the demo's first day.
    days_ago: i64,
    performer: &'static str,
    work_order: &'static str,
    kit_lot: &'static str,
    /// Values that were read instead of good ones.
    readings: &'static [(&'static str, &'static [&'static str])],
    /// What was proposed on the findings.
    decisions: &'static [&'static str],
    /// Why it was closed INCOMPLETE at its first finding, if it was.
    incomplete: Option<&'static str>,
}

/// The past, oldest first. Each has its trouble: a stem bent beyond its limit and replaced; a nut pulled HIGH; a rebuild
/// given up for want of a part; a seat that leaked until it was lapped again.
const CHAPTERS: [Chapter; 4] = [
    Chapter {
        days_ago: 730,
        performer: "Ines Falk",
        work_order: "WO 24-0911",
        kit_lot: "K3302-0047",
        readings: &[("stem-runout", &["0.112", "0.021"])],
        decisions: &["replace"],
        incomplete: None,
    },
    Chapter {
        days_ago: 512,
        performer: "Rurik Odde",
        work_order: "WO 25-0318",
        kit_lot: "K3302-0052",
        readings: &[("J1/6", &["134"]), ("J2/3", &["53.8"])],
        decisions: &[],
        incomplete: None,
    },
    Chapter {
        days_ago: 340,
        performer: "Ines Falk",
        work_order: "WO 25-1204",
        kit_lot: "K3302-0061",
        readings: &[("stem-runout", &["0.131"])],
        decisions: &[],
        incomplete: Some(
            "stem bent and no spare on site; CAP-1 on, locks on, stem to be put in first",
        ),
    },
    Chapter {
        days_ago: 318,
        performer: "Ines Falk",
        work_order: "WO 26-0102",
        kit_lot: "K3302-0061",
        readings: &[
            ("leak-1", &["96"]),
            ("leak-2", &["99"]),
            ("leak-3", &["97"]),
        ],
        decisions: &["rework"],
        incomplete: None,
    },
];

/// How long before now the rebuild that is not done was begun.
const BEGUN_HOURS: i64 = 2;
/// The joint in the middle of which it stands, the pass, and how many nuts are in.
const LEFT_AT: (&str, u32, usize) = ("J1", 2, 3);

/// Works through the past and up to the middle of the joint; keeps all of it in one transaction.
pub(super) fn work(maker: &mut Maker) -> Result<(), Fault> {
    let mut done: Vec<(Rebuild, Vec<Sealed>)> = Vec::new();
    for (series, chapter) in (1..).zip(&CHAPTERS) {
        maker.go_to(morning(maker.now, chapter.days_ago))?;
        renew(maker, None)?;
        done.push(tell(maker, chapter, series)?);
    }
    maker.go_to(maker.now.utc_ms - BEGUN_HOURS * 3_600_000)?;
    renew(maker, Some(maker.now.utc_ms))?;
    done.push(leave_in_the_middle(maker)?);
    maker.desk.keep_rehearsed(&done)?;
    maker.go_to(maker.now.utc_ms)?;
    // Begun before midnight, perhaps: whoever sits down now is not asked about the clock first.
    let today = maker.desk.clock().day();
    if maker.desk.register().agreed_day() != Some(today.as_str()) {
        maker.desk.agree_clock(&maker.lead)?;
    }
    Ok(())
}

/// New certificates for what runs out within sixty days; at the end those the site has now.
fn renew(maker: &mut Maker, today: Option<i64>) -> Result<(), Fault> {
    let soon = maker.day(60);
    for row in INSTRUMENTS {
        let (id, days) = (row.0, row.6);
        let runs_out = maker
            .desk
            .register()
            .instrument(id)
            .is_some_and(|known| known.calibration.due < soon);
        if !runs_out && today.is_none() {
            continue;
        }
        let mut calibration = maker.instrument(&row)?.calibration;
        if let Some(today) = today {
            let since = (today - maker.time.wall().utc_ms) / DAY_MS;
            calibration.due = maker.day(since + days);
            calibration.calibrated = maker.day(since + days - 365);
        }
        maker.change(
            register::Command::RenewCalibration {
                id: id.into(),
                calibration,
            },
            maker.lead,
        )?;
    }
    Ok(())
}

fn robot(maker: &Maker, performer: &str, series: u64, plan: Plan) -> Result<Robot, Fault> {
    let mut robot = Robot::new(maker.person(performer)?, series);
    robot.ordinary = ORDINARY.into_iter().collect();
    robot.plan = plan;
    Ok(robot)
}

fn start_of(robot: &Robot, work_order: &str, kit_lot: &str) -> Result<Start, Fault> {
    let (tag, serial) = REBUILT;
    Ok(Start {
        work_order: work_order.into(),
        tag: tag.into(),
        serial: serial.into(),
        mismatch: None,
        unit: serial.into(),
        procedure: procedure_hash(procedure()?),
        choices: Choices::default(),
        kit_lot: kit_lot.into(),
        performer: robot.performer,
    })
}

fn tell(
    maker: &mut Maker,
    chapter: &Chapter,
    series: u64,
) -> Result<(Rebuild, Vec<Sealed>), Fault> {
    let queue = |values: &[&str]| {
        values
            .iter()
            .map(|value| (*value).to_owned())
            .collect::<VecDeque<_>>()
    };
    let plan = Plan {
        readings: chapter
            .readings
            .iter()
            .map(|(thing, values)| ((*thing).to_owned(), queue(values)))
            .collect(),
        decisions: queue(chapter.decisions),
        after_high: 1,
    };
    let robot = robot(maker, chapter.performer, series, plan)?;
    let performer = robot.performer;
    let start = start_of(&robot, chapter.work_order, chapter.kit_lot)?;
    let mut rehearsal = Rehearsal::start(&mut maker.desk, &maker.time, &maker.pins, robot, start)?;
    match chapter.incomplete {
        None => rehearsal.until(|_, _| false)?,
        Some(reason) => {
            rehearsal.until(|_, ask| matches!(ask.point, Point::Finding(_)))?;
            rehearsal.does(
                Command::CloseIncomplete {
                    reason: reason.into(),
                },
                &performer,
            )?;
        }
    }
    Ok(rehearsal.finish())
}

fn leave_in_the_middle(maker: &mut Maker) -> Result<(Rebuild, Vec<Sealed>), Fault> {
    let plan = Plan {
        readings: BTreeMap::new(),
        decisions: VecDeque::new(),
        after_high: 1,
    };
    let robot = robot(maker, "Ines Falk", 5, plan)?;
    let performer = robot.performer;
    let start = start_of(&robot, "WO 26-0917", "K3302-0068")?;
    let mut rehearsal = Rehearsal::start(&mut maker.desk, &maker.time, &maker.pins, robot, start)?;
    rehearsal.until(in_the_middle)?;
    rehearsal.does(Command::Pause { by_itself: false }, &performer)?;
    Ok(rehearsal.finish())
}

fn in_the_middle(rebuild: &Rebuild, ask: &Ask) -> bool {
    let (joint, pass, nuts) = LEFT_AT;
    let due = matches!(&ask.point, Point::Asked(_, _, Inner::Fastener(_, at, _)) if *at == pass);
    due && rebuild.joint_view(joint).is_some_and(|view| {
        let done = view
            .marks
            .iter()
            .filter(|mark| **mark == reseat_record::rebuild::view::Mark::Done)
            .count();
        view.pass == pass && done == nuts
    })
}
