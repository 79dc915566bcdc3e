//! `reseat instruments`: wrenches and gauges with their certificates.

use clap::Subcommand;
use reseat_measure::{Decimal, Quantity, Window, parse_scale};
use reseat_record::recall::{doubts_by_instrument, with_doubt};
use reseat_record::register::{
    Calibration, Command, Coverage, Deviation, Instrument, InstrumentKind, InstrumentSaid, Scale,
    Service,
};
use serde_json::json;

use super::act::Actor;
use super::{Answer, Context, Stop, table};

#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(super) struct Args {
    /// Write JSON: an array with id, serial, kind, scale, range, usable, resolution, deviation, uncertainty, coverage,
    /// certificate, calibrated, due, service and in_doubt (how many readings)
    #[arg(long)]
    json: bool,
    #[command(subcommand)]
    act: Option<Act>,
}

#[derive(Debug, Subcommand)]
enum Act {
    /// Put an instrument on the register
    Add(Box<Add>),
    /// Keep a new certificate
    Renew {
        /// Name on site
        id: String,
        #[command(flatten)]
        certificate: Certificate,
        #[command(flatten)]
        actor: Actor,
    },
    /// Keep the day's check of an instrument: what was looked at; --failed quarantines it
    Check {
        /// Name on site
        id: String,
        /// What was looked at and seen
        #[arg(long)]
        seen: String,
        /// It was not as it must be
        #[arg(long)]
        failed: bool,
        #[command(flatten)]
        actor: Actor,
    },
    /// Quarantine an instrument: it takes no reading until returned
    Quarantine(Because),
    /// Return an instrument from quarantine
    Return(Because),
    /// Withdraw an instrument for good
    Withdraw(Because),
}

#[derive(Debug, clap::Args)]
struct Add {
    /// Name on site, such as TW-19
    id: String,
    /// Maker's serial
    #[arg(long)]
    serial: String,
    /// What it is, such as "dial torque wrench" or "pressure gauge"
    #[arg(long, value_parser = kind)]
    kind: InstrumentKind,
    /// Scale, such as N·m or "bar g"
    #[arg(long, value_parser = scale)]
    scale: Scale,
    /// Range, such as "40..200 N·m"
    #[arg(long, value_parser = window, allow_hyphen_values = true)]
    range: Window,
    /// Part of the range that may be used, where it is less
    #[arg(long, value_parser = window, allow_hyphen_values = true)]
    usable: Option<Window>,
    /// Smallest step that can be read, such as "1 N·m"
    #[arg(long, value_parser = quantity, allow_hyphen_values = true)]
    resolution: Quantity,
    /// Ask its check at the first use of each day, whatever the site's value
    #[arg(long)]
    day_check: bool,
    #[command(flatten)]
    certificate: Certificate,
    #[command(flatten)]
    actor: Actor,
}

#[derive(Debug, clap::Args)]
struct Certificate {
    /// Number of the certificate
    #[arg(long = "certificate", value_name = "NUMBER")]
    number: String,
    /// Day of calibration, such as 2026-03-12
    #[arg(long, value_name = "DAY")]
    calibrated: String,
    /// Last day of use before the next one
    #[arg(long, value_name = "DAY")]
    due: String,
    /// Largest permissible deviation, such as "4 % of reading", "0.1 bar" or "ISO 6789 II A"
    #[arg(long, allow_hyphen_values = true)]
    deviation: String,
    /// Expanded uncertainty of the certificate, such as "1.2 N·m" or "1 %"
    #[arg(long, value_parser = quantity, requires = "coverage", allow_hyphen_values = true)]
    uncertainty: Option<Quantity>,
    /// Its coverage factor, such as 2
    #[arg(long, value_name = "FACTOR", value_parser = coverage, requires = "uncertainty", allow_hyphen_values = true)]
    coverage: Option<Coverage>,
}

#[derive(Debug, clap::Args)]
struct Because {
    /// Name on site
    id: String,
    /// Why
    #[arg(long)]
    reason: String,
    #[command(flatten)]
    actor: Actor,
}

impl Certificate {
    /// What it says of an instrument of this range.
    fn of(self, range: &Window) -> Result<Calibration, Stop> {
        let deviation = Deviation::of_class(&self.deviation, range).map_err(|why| {
            Stop::words(
                format!("--deviation: {why}."),
                "Read it on the certificate again.",
            )
        })?;
        Ok(Calibration {
            certificate: self.number,
            calibrated: self.calibrated,
            due: self.due,
            deviation,
            uncertainty: self.uncertainty,
            coverage: self.coverage,
        })
    }
}

fn kind(word: &str) -> Result<InstrumentKind, String> {
    InstrumentKind::from_word(word).ok_or_else(|| {
        let words: Vec<&str> = InstrumentKind::ALL.iter().map(|kind| kind.word()).collect();
        format!("a kind is one of {}", words.join(", "))
    })
}

fn scale(text: &str) -> Result<Scale, String> {
    let (unit, reference) = parse_scale(text).map_err(|error| error.to_string())?;
    Ok(Scale { unit, reference })
}

fn window(text: &str) -> Result<Window, String> {
    Window::parse(text).map_err(|error| error.to_string())
}

fn quantity(text: &str) -> Result<Quantity, String> {
    Quantity::parse(text).map_err(|error| error.to_string())
}

fn coverage(text: &str) -> Result<Coverage, String> {
    Decimal::parse(text)
        .map(Coverage)
        .map_err(|error| error.to_string())
}

pub(super) fn run(args: Args, context: &mut Context) -> Result<Answer, Stop> {
    match args.act {
        None => list(args.json, context),
        Some(act) => change(act, context),
    }
}

const fn service(service: Service) -> &'static str {
    match service {
        Service::InService => "in service",
        Service::Quarantined => "quarantined",
        Service::Withdrawn => "withdrawn",
    }
}

fn list(as_json: bool, context: &mut Context) -> Result<Answer, Stop> {
    let desk = context.read()?;
    let scale = |instrument: &Instrument| {
        Scale {
            unit: instrument.scale,
            reference: instrument.reference,
        }
        .to_string()
    };
    let doubts = doubts_by_instrument(desk.register());
    let in_doubt = |one: &Instrument| doubts.get(&one.id).copied().unwrap_or_default();
    let instruments: Vec<&Instrument> = desk.register().instruments().collect();
    if as_json {
        let list: Vec<_> = instruments
            .iter()
            .map(|one| {
                let said = &one.calibration;
                json!({"id": one.id, "serial": one.serial, "kind": one.kind.word(), "scale": scale(one),
                       "range": one.range.to_string(), "usable": one.usable.map(|usable| usable.to_string()),
                       "resolution": one.resolution.to_string(), "deviation": said.deviation.to_string(),
                       "uncertainty": said.uncertainty.map(|uncertainty| uncertainty.to_string()),
                       "coverage": said.coverage.map(|coverage| coverage.0.to_string()),
                       "certificate": said.certificate, "calibrated": said.calibrated, "due": said.due,
                       "service": service(one.service), "in_doubt": in_doubt(one)})
            })
            .collect();
        context.out.json(&json!(list))?;
    } else if instruments.is_empty() {
        context.out.line("No instruments yet. A lead puts them on the register: see `reseat instruments --help`.")?;
    } else {
        let today = desk.clock().day();
        let rows: Vec<Vec<String>> = instruments
            .iter()
            .map(|one| {
                let due = if one.overdue_on(&today) {
                    format!("{} OVERDUE", one.calibration.due)
                } else {
                    one.calibration.due.clone()
                };
                vec![
                    one.id.clone(),
                    one.kind.word().into(),
                    one.range.to_string(),
                    due,
                    with_doubt(service(one.service).into(), in_doubt(one)),
                ]
            })
            .collect();
        table::print(
            &mut context.out,
            &["name", "kind", "range", "due", "service"],
            &rows,
        )?;
    }
    Ok(Answer::Yes)
}

fn change(act: Act, context: &mut Context) -> Result<Answer, Stop> {
    let mut desk = context.work()?;
    let (command, actor, said) = match act {
        Act::Add(add) => {
            let said = format!("{} stands on the register.", add.id);
            let instrument = InstrumentSaid {
                id: add.id,
                serial: add.serial,
                kind: add.kind,
                scale: add.scale,
                range: add.range,
                usable: add.usable,
                resolution: add.resolution,
                calibration: add.certificate.of(&add.range)?,
                day_check: add.day_check,
            };
            (Command::AddInstrument(instrument), add.actor, said)
        }
        Act::Renew {
            id,
            certificate,
            actor,
        } => {
            let said = format!("The new certificate of {id} is kept.");
            let range = desk.instrument(&id)?.range;
            (
                Command::RenewCalibration {
                    id,
                    calibration: certificate.of(&range)?,
                },
                actor,
                said,
            )
        }
        Act::Check {
            id,
            seen,
            failed,
            actor,
        } => {
            let said = if failed {
                format!("{id} failed its check and is quarantined.")
            } else {
                format!("The check of {id} is kept for today.")
            };
            let passed = !failed;
            (Command::CheckForDay { id, seen, passed }, actor, said)
        }
        Act::Quarantine(Because { id, reason, actor }) => {
            let said = format!("{id} is quarantined.");
            (Command::Quarantine { id, reason }, actor, said)
        }
        Act::Return(Because { id, reason, actor }) => {
            let said = format!("{id} is in service again.");
            (Command::Return { id, reason }, actor, said)
        }
        Act::Withdraw(Because { id, reason, actor }) => {
            let said = format!("{id} is withdrawn.");
            (Command::Withdraw { id, reason }, actor, said)
        }
    };
    let by = actor.sit_down(&mut desk, context)?;
    desk.change(command, &by)?;
    context.out.line(&said)?;
    Ok(Answer::Yes)
}
