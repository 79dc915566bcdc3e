//! From the open home to sights: what the screens show, taken from desk, register and rebuild.

use std::time::Duration;

use chrono::NaiveDateTime;
use reseat_procedure::Procedure;
use reseat_procedure::model::Role;
use reseat_record::log::{Id, Stamp};
use reseat_record::rebuild::{Bench, Ended, Rebuild, Wants};
use reseat_record::recall::{doubts_by_instrument, doubts_by_rebuild, with_doubt};
use reseat_record::register::{Register, Service};
use sha2::{Digest, Sha256};

use super::handover::Outgoing;
use super::message::{RecallAsked, Said};
use super::sight::{
    HomeSight, Offer, PastLine, RecallLine, RecallSight, RegisterLine, RegisterSight, ResumeSight,
    StartSight, UnitLine, UnitSight, WorkSight,
};
use crate::desk::{Desk, Fault, RecallSheet, UnitRow, ends_tag};
use reseat_report::Record;

/// In the order of their names: the register's own order follows identifiers, which tell nobody anything.
fn by_name(mut people: Vec<(Id, String)>) -> Vec<(Id, String)> {
    people.sort_by(|(_, one), (_, other)| one.cmp(other));
    people
}

/// Everybody on the register who is not retired, by name.
pub(super) fn people(register: &Register) -> Vec<(Id, String)> {
    let people = register
        .people()
        .filter(|person| !person.retired)
        .map(|person| (person.id, person.name.clone()))
        .collect();
    by_name(people)
}

/// Who holds a role, by name.
pub(super) fn holders(register: &Register, role: Role) -> Vec<(Id, String)> {
    let holders = register
        .holders(role)
        .map(|person| (person.id, person.name.clone()))
        .collect();
    by_name(holders)
}

fn unit_line(row: UnitRow) -> UnitLine {
    UnitLine {
        tag: row.tag,
        serial: row.serial,
        name: row.name,
        state: with_doubt(row.state, row.in_doubt),
        open: row.open,
    }
}

fn site(register: &Register) -> String {
    register
        .site()
        .map(|site| site.name.clone())
        .unwrap_or_default()
}

/// The first screen.
pub(super) fn home(desk: &Desk) -> Result<HomeSight, Fault> {
    let doubt = desk.clock().doubt();
    Ok(HomeSight {
        site: site(desk.register()),
        demo: desk.demo(),
        units: desk.home_rows()?.into_iter().map(unit_line).collect(),
        notices: doubt
            .iter()
            .map(|doubt| {
                format!(
                    " CLOCK NOT TRUSTED  {} {} F6 does it.",
                    doubt.sentence(),
                    doubt.remedy()
                )
            })
            .collect(),
        clock: desk.clock().local_text(),
        clock_may_be_agreed: doubt.is_none_or(|doubt| doubt.agreeing_is_enough()),
        people: people(desk.register()),
    })
}

fn row_of(desk: &Desk, serial: &str) -> Result<UnitRow, Said> {
    let row = desk
        .home_rows()?
        .into_iter()
        .find(|row| row.serial.eq_ignore_ascii_case(serial));
    row.ok_or_else(|| {
        Said::refusal(
            "no-such-unit",
            format!("No unit of serial \"{serial}\" is on the register."),
            "Add it in the register (F5).",
        )
    })
}

/// The day of an instant of the record.
fn day(utc: &str) -> String {
    utc.get(..10).unwrap_or(utc).to_owned()
}

/// A unit and its past.
pub(super) fn unit(desk: &Desk, serial: &str) -> Result<UnitSight, Said> {
    let row = row_of(desk, serial)?;
    let doubts = doubts_by_rebuild(desk.register());
    let past = desk
        .past(&row.serial)?
        .into_iter()
        .map(|past| PastLine {
            in_doubt: doubts.get(&past.stream).copied().unwrap_or_default(),
            stream: past.stream,
            started: day(&past.started),
            closed: past.closed.as_deref().map(day).unwrap_or_default(),
            by: past.by.unwrap_or_default(),
            signed: past.outcome.as_deref() == Some("signed"),
            outcome: match past.outcome.as_deref() {
                None | Some("signed") => past.state,
                Some(outcome) if past.state.starts_with(outcome) => past.state,
                Some(outcome) => format!("{outcome}, {}", past.state),
            },
        })
        .collect();
    let place = desk.register().place(&row.tag);
    Ok(UnitSight {
        model: row.model.clone(),
        beside: place.and_then(|place| place.redundant_with.clone()),
        unit: unit_line(row),
        past,
    })
}

fn offer(desk: &Desk, sha256: reseat_record::log::Hash, model: &str) -> Option<Offer> {
    let procedure = desk.procedure(&sha256).ok()?;
    let fits = procedure.models.is_empty() || procedure.models.iter().any(|one| one == model);
    fits.then(|| Offer {
        sha256,
        number: format!("{} rev {}", procedure.number, procedure.revision),
        title: procedure.title.clone(),
        options: procedure
            .options
            .iter()
            .map(|option| {
                (
                    option.id.clone(),
                    option.question.clone(),
                    option.values.clone(),
                )
            })
            .collect(),
        kit: procedure.kit.number.clone(),
    })
}

/// What is needed to start a rebuild.
pub(super) fn start(desk: &Desk, serial: &str) -> Result<StartSight, Said> {
    let row = row_of(desk, serial)?;
    let register = desk.register();
    let offers = register
        .approvals()
        .iter()
        .filter(|approval| !approval.superseded)
        .filter_map(|approval| offer(desk, approval.sha256, &row.model))
        .collect();
    let told = desk.before_start(serial)?;
    let warnings = told.into_iter().map(|told| format!("WARNING  {told}"));
    Ok(StartSight {
        unit: unit_line(row),
        offers,
        performers: holders(register, Role::Performer),
        leads: holders(register, Role::Lead),
        warnings: warnings.collect(),
    })
}

/// A paused rebuild before it is taken up: what it would ask then, and the last three entries of its record. What was typed to
/// find it stands for the end of its tag, where it is that.
pub(super) fn resume(desk: &Desk, stream: Id, tag_typed: &str) -> Result<ResumeSight, Fault> {
    let rebuild = desk.look(&stream)?;
    let (register, stamp) = (desk.register(), desk.stamp(None));
    // A rebuild that ended without a pause asks its next question; whoever takes it up is told the same all the same.
    let mut lines = joined(rebuild.taking_up_words(), "Loose: ");
    lines.push("The last three entries, to be seen on the hardware:".to_owned());
    let record = rebuild.record_lines(register);
    for line in &record[record.len().saturating_sub(3)..] {
        lines.push(format!("{} {}: {}", line.time, line.by, line.text));
    }
    let strip = rebuild.strip_untaken(&stamp);
    let others = desk.other_open_tags(&stream)?;
    Ok(ResumeSight {
        stream,
        tag_known: ends_tag(tag_typed, &strip.tag, &others).is_ok(),
        strip,
        lines,
        people: holders(register, Role::Performer),
        others,
    })
}

/// The lines with all that begin alike made one, in the place of the first: a list is read faster than a column.
fn joined(lines: Vec<String>, beginning: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for line in lines {
        match out.last_mut().filter(|last| last.starts_with(beginning)) {
            Some(last) if line.starts_with(beginning) => {
                last.push_str("; ");
                last.push_str(&line[beginning.len()..]);
            }
            _ => out.push(line),
        }
    }
    out
}

/// What a handover shows; none where nobody has the work, or it is handed over already.
fn outgoing(rebuild: &Rebuild, register: &Register) -> Option<Outgoing> {
    let open = rebuild.is_paused() && !rebuild.is_handed_over() && rebuild.ended().is_none();
    let who = rebuild.who().filter(|_| open)?;
    let others = holders(register, Role::Performer);
    Some(Outgoing {
        by: Some((who.id, who.name.clone())),
        stands: rebuild.outgoing_lines(),
        others: others.into_iter().filter(|(id, _)| *id != who.id).collect(),
        states: register.left_states(),
    })
}

/// A rebuild under way.
pub(super) fn work(
    rebuild: &Rebuild,
    before: Option<&Rebuild>,
    desk: &Desk,
    stamp: &Stamp,
) -> WorkSight {
    let register = desk.register();
    let mut ask = rebuild.ask(register, stamp);
    ask.detail = joined(ask.detail, "Loose: ");
    if rebuild.is_paused() && rebuild.ended().is_none() {
        ask.detail
            .push("F4 leads on: hand over, leave it to nobody, text for the paper tag.".to_owned());
    }
    let unfinished = rebuild.is_paused() || rebuild.ended() == Some(Ended::Incomplete);
    let mut joint = match &ask.bench {
        Bench::Joint(id) => rebuild.joint_view(id),
        _ => None,
    };
    let mut gauge = match &ask.bench {
        Bench::Window(id) => rebuild.gauge_of(id),
        _ => None,
    };
    let drawn = joint.as_mut().and_then(|joint| joint.gauge.as_mut());
    if let Some(drawn) = drawn.or(gauge.as_mut()) {
        drawn.guard.clone_from(&ask.guard);
    }
    let test = match &ask.bench {
        Bench::Test => super::bench::test::lines(rebuild),
        _ => Vec::new(),
    };
    let last = before.map_or_else(Vec::new, |before| last_values(rebuild, before, &ask.bench));
    WorkSight {
        stream: rebuild.head().stream,
        strip: rebuild.strip(stamp),
        energy: rebuild.energy_lines(stamp),
        energy_asked: rebuild.energy_asked(&ask.point),
        lockout: rebuild.lockout_words(),
        joint,
        gauge,
        repeats: super::bench::test::repeats(rebuild, &ask.bench).map(Box::new),
        decay: super::bench::test::decay(rebuild, &ask).map(Box::new),
        steps: rebuild.section_steps(),
        parts: rebuild.part_lines(),
        open: rebuild.open_items(),
        test,
        last,
        venting: rebuild.venting_due(),
        wait_left: wait_left(&ask.wants, &stamp.utc),
        by: rebuild.who().map(|who| who.id),
        people: people(register),
        may_leave: rebuild.is_paused() || rebuild.ended().is_some() || rebuild.is_newer(),
        unsealed: register
            .people()
            .map(|person| person.id)
            .filter_map(|person| Some((person, desk.pin_digits(&person)?)))
            .collect(),
        outgoing: outgoing(rebuild, register).map(Box::new),
        tag: unfinished.then(|| rebuild.tag_lines(register, stamp)),
        write_tag: false,
        ask,
    }
}

/// The newest rebuild of the same unit that is closed and followed the same procedure; none where none can be read.
pub(super) fn rebuild_before(desk: &Desk, now: &Rebuild) -> Option<Rebuild> {
    let stream = now.head().stream;
    let past = desk.past(&now.summary().serial).ok()?;
    past.iter()
        .filter(|row| row.stream != stream && row.closed.is_some())
        .find_map(|row| {
            let before = desk.look(&row.stream).ok()?;
            (before.procedure().number == now.procedure().number).then_some(before)
        })
}

/// How many things measured are set beside the last rebuild's.
const THINGS_BESIDE: usize = 4;

/// Values of the last rebuild, each only where the new one is already in: nobody reads what he expects.
fn last_values(now: &Rebuild, before: &Rebuild, bench: &Bench) -> Vec<String> {
    let day = day(&before.summary().started);
    if let Bench::Joint(id) = bench {
        let (Some(new), Some(old)) = (now.joint_view(id), before.joint_view(id)) else {
            return Vec::new();
        };
        let singular = new.fasteners_named.trim_end_matches('s');
        return (1u32..)
            .zip(new.values.iter().zip(&old.values))
            .filter(|(_, ((new, _), (old, _)))| !new.is_empty() && !old.is_empty())
            .map(|(number, ((new, _), (old, _)))| {
                format!("{singular} {number}: {old} on {day}, now {new}")
            })
            .collect();
    }
    let things = now.things_read();
    let old = before.things_read();
    let beside = things.iter().rev().filter_map(|(id, label, new)| {
        let (_, _, old) = old.iter().find(|(thing, ..)| thing == id)?;
        Some(format!("{label}: {old} on {day}, now {new}"))
    });
    beside.take(THINGS_BESIDE).collect()
}

/// How long until a wait is over.
fn wait_left(wants: &Wants, now: &str) -> Option<Duration> {
    let Wants::Wait {
        until: Some(until),
        over: false,
    } = wants
    else {
        return None;
    };
    let read = |text: &str| NaiveDateTime::parse_from_str(text, "%Y-%m-%dT%H:%M:%S%.3fZ").ok();
    // A moment more, so that the question asked then finds the wait over.
    let left = (read(until)? - read(now)?).to_std().unwrap_or_default();
    Some(left + Duration::from_millis(50))
}

/// A record read back, its chain verified on the bytes that are stored.
pub(super) fn record(desk: &Desk, stream: Id) -> Result<Record, Fault> {
    let rebuild = desk.look(&stream)?;
    let bytes = desk.history().entries(&stream)?;
    Ok(Record::of(
        &stream,
        &rebuild,
        desk.register(),
        &bytes,
        desk.demo(),
    ))
}

/// An instrument found out, before anybody signs.
pub(super) fn recall(
    desk: &Desk,
    asked: RecallAsked,
    sheet: &RecallSheet,
) -> Result<RecallSight, Fault> {
    let register = desk.register();
    let instrument = desk.instrument(&sheet.instrument)?;
    let mut signers = holders(register, Role::Releaser);
    signers.extend(holders(register, Role::Lead));
    let mut signers = by_name(signers);
    signers.dedup();
    let line = |line: &crate::desk::RecallLine| {
        let one = &line.touched;
        let doubted = if one.dated { "" } else { "?" };
        RecallLine {
            tag: line.tag.clone(),
            day: format!("{}{doubted}", day(&one.utc)),
            what: one.what.clone(),
            reading: one.means.to_string(),
            truth: one.corrected.as_deref().unwrap_or_default().to_owned(),
            stands: line.stands(),
            changed: !one.stands.starts_with("still"),
        }
    };
    let lines: Vec<RecallLine> = sheet.lines.iter().map(line).collect();
    Ok(RecallSight {
        title: format!(
            "{}  {}  {}",
            instrument.id, instrument.kind, instrument.range
        ),
        since: sheet.since.day.clone(),
        check: match sheet.since.fact {
            Some(fact) => format!("entry {} of the register", fact.number),
            None => "no certificate of that day on the register".to_owned(),
        },
        service: match instrument.service {
            Service::InService => " still in service ".to_owned(),
            Service::Quarantined => " quarantined ".to_owned(),
            Service::Withdrawn => " withdrawn ".to_owned(),
        },
        points: sheet
            .found
            .iter()
            .map(|point| format!("{} → {}", point.bench, point.showed))
            .collect(),
        sum: recall_sum(&lines, sheet.unread.len()),
        lines,
        asked,
        signers,
        demo: desk.demo(),
    })
}

/// How the readings stand, counted.
fn recall_sum(lines: &[RecallLine], unread: usize) -> String {
    if lines.is_empty() && unread == 0 {
        return "Nothing is written before somebody signs.".to_owned();
    }
    let mut parts = Vec::new();
    for word in [
        "now LOW",
        "now HIGH",
        "cannot say",
        "still WITHIN",
        "still LOW",
        "still HIGH",
    ] {
        let count = lines
            .iter()
            .filter(|line| line.stands.starts_with(word))
            .count();
        if count > 0 {
            parts.push(format!("{count} {word}"));
        }
    }
    if unread > 0 {
        parts.push(format!("{unread} NOT READABLE"));
    }
    format!("{}. Enter puts them in doubt.", parts.join(", "))
}

/// A procedure that is shipped: its hash, bytes and text.
pub(super) fn shipped() -> Vec<(String, &'static [u8], Procedure)> {
    reseat_procedure::builtin()
        .iter()
        .filter_map(|(_, bytes)| {
            let procedure = reseat_procedure::read(bytes).ok()?;
            let hash = reseat_record::log::Hash(Sha256::digest(bytes).into());
            Some((hash.to_string(), *bytes, procedure))
        })
        .collect()
}

/// The register.
pub(super) fn register(desk: &Desk) -> RegisterSight {
    let register = desk.register();
    RegisterSight {
        site: site(register),
        demo: desk.demo(),
        lists: [
            people_lines(register),
            place_lines(register),
            unit_lines(register),
            instrument_lines(register),
            super::gather_procedures::lines(desk),
        ],
        site_values: register.site().map_or_else(Default::default, |site| {
            [
                site.rule.clone(),
                site.pause_minutes.to_string(),
                site.zero_minutes.to_string(),
                site.look_again_minutes.to_string(),
                site.shift_hours.to_string(),
                if site.day_checks { "yes" } else { "no" }.to_owned(),
                site.left_states.join("; "),
                site.decision_rule.to_string(),
            ]
        }),
        leads: holders(register, Role::Lead),
        approvers: holders(register, Role::Approver),
        people: people(register),
    }
}

pub(super) fn line(key: impl Into<String>, columns: &[&str], retired: bool) -> RegisterLine {
    RegisterLine {
        key: key.into(),
        columns: columns.iter().map(|text| (*text).to_owned()).collect(),
        retired,
    }
}

fn people_lines(register: &Register) -> Vec<RegisterLine> {
    let lines = register.people().map(|person| {
        let roles: Vec<&str> = person.roles.iter().map(|role| role.word()).collect();
        line(
            person.id.to_string(),
            &[&person.name, &roles.join(", ")],
            person.retired,
        )
    });
    let mut lines: Vec<RegisterLine> = lines.collect();
    lines.sort_by(|one, other| one.columns.cmp(&other.columns));
    lines
}

fn place_lines(register: &Register) -> Vec<RegisterLine> {
    let lines = register.places().map(|place| {
        let holds = place.holds.as_deref().unwrap_or("nothing");
        let spare = place.redundant_with.as_deref().unwrap_or_default();
        line(&place.tag, &[&place.tag, &place.name, holds, spare], false)
    });
    lines.collect()
}

fn unit_lines(register: &Register) -> Vec<RegisterLine> {
    let lines = register.units().map(|unit| {
        let place = unit.place.as_deref().unwrap_or("no place");
        let columns = [&unit.serial, &unit.model, &unit.name, place];
        line(&unit.serial, &columns.map(|text| text as &str), false)
    });
    lines.collect()
}

fn instrument_lines(register: &Register) -> Vec<RegisterLine> {
    let doubts = doubts_by_instrument(register);
    let lines = register.instruments().map(|instrument| {
        let in_doubt = doubts.get(&instrument.id).copied().unwrap_or_default();
        let columns = [
            instrument.id.clone(),
            instrument.kind.to_string(),
            instrument.range.to_string(),
            instrument.serial.clone(),
            if in_doubt > 0 {
                format!("{} IN DOUBT", instrument.calibration.due)
            } else {
                instrument.calibration.due.clone()
            },
        ];
        RegisterLine {
            key: instrument.id.clone(),
            columns: columns.to_vec(),
            retired: instrument.quarantined(),
        }
    });
    lines.collect()
}
