//! `reseat units`: places and units.

use clap::Subcommand;
use reseat_record::recall::with_doubt;
use reseat_record::register::{Command, PlacePoint, PlaceSaid, PointKind, UnitSaid};
use serde_json::json;

use super::act::Actor;
use super::{Answer, Context, Stop, table};

#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(super) struct Args {
    /// Write JSON: an array with tag, serial, name, model, state, record and in_doubt
    #[arg(long)]
    json: bool,
    #[command(subcommand)]
    act: Option<Act>,
}

#[derive(Debug, Subcommand)]
enum Act {
    /// Put a place on the register
    Place {
        /// Tag as hung in the plant
        tag: String,
        /// Name of the place
        #[arg(long)]
        name: String,
        /// An isolating or drain point: LABEL;ENERGY;isolating|drain;POSITION
        #[arg(long = "point", value_name = "POINT", value_parser = point)]
        points: Vec<PlacePoint>,
        /// Tag of the place that stands in for it
        #[arg(long, value_name = "TAG")]
        redundant_with: Option<String>,
        #[command(flatten)]
        actor: Actor,
    },
    /// Put a unit on the register
    Add {
        /// Serial as on the nameplate
        serial: String,
        /// Name of the unit
        #[arg(long)]
        name: String,
        /// Model, which procedures name
        #[arg(long)]
        model: String,
        /// Tag of the place it is fitted in
        #[arg(long, value_name = "TAG")]
        at: Option<String>,
        #[command(flatten)]
        actor: Actor,
    },
    /// Record that a unit is fitted in a place
    Fit {
        /// Serial of the unit
        serial: String,
        /// Tag of the place
        tag: String,
        #[command(flatten)]
        actor: Actor,
    },
    /// Record that a unit is removed from its place
    Remove {
        /// Serial of the unit
        serial: String,
        /// Tag of the place
        tag: String,
        #[command(flatten)]
        actor: Actor,
    },
}

fn point(text: &str) -> Result<PlacePoint, String> {
    let fields: Vec<&str> = text.split(';').map(str::trim).collect();
    let [label, energy, kind, position] = fields[..] else {
        return Err("a point reads LABEL;ENERGY;isolating|drain;POSITION".into());
    };
    let kind = match kind {
        "isolating" => PointKind::Isolating,
        "drain" => PointKind::Drain,
        _ => return Err(format!("\"{kind}\" is neither isolating nor drain")),
    };
    Ok(PlacePoint {
        label: label.into(),
        energy: energy.into(),
        kind,
        position: position.into(),
    })
}

pub(super) fn run(args: Args, context: &mut Context) -> Result<Answer, Stop> {
    match args.act {
        None => list(args.json, context),
        Some(act) => change(act, context),
    }
}

fn list(as_json: bool, context: &mut Context) -> Result<Answer, Stop> {
    let rows = context.read()?.home_rows()?;
    if as_json {
        let rows: Vec<_> = rows
            .iter()
            .map(|row| {
                json!({"tag": row.tag, "serial": row.serial, "name": row.name, "model": row.model, "state": row.state,
                       "record": row.open.map(|id| id.to_string()), "in_doubt": row.in_doubt})
            })
            .collect();
        context.out.json(&json!(rows))?;
    } else if rows.is_empty() {
        context.out.line(
            "No places or units yet. A lead puts them on the register: see `reseat units --help`.",
        )?;
    } else {
        let rows: Vec<Vec<String>> = rows
            .into_iter()
            .map(|row| {
                let state = with_doubt(row.state, row.in_doubt);
                vec![row.tag, row.serial, row.name, state]
            })
            .collect();
        table::print(&mut context.out, &["tag", "serial", "name", "state"], &rows)?;
    }
    Ok(Answer::Yes)
}

fn change(act: Act, context: &mut Context) -> Result<Answer, Stop> {
    let mut desk = context.work()?;
    let (commands, actor, said) = match act {
        Act::Place {
            tag,
            name,
            points,
            redundant_with,
            actor,
        } => {
            let said = format!("Place {tag} stands on the register.");
            (
                vec![Command::AddPlace(PlaceSaid {
                    tag,
                    name,
                    points,
                    redundant_with,
                })],
                actor,
                said,
            )
        }
        Act::Add {
            serial,
            name,
            model,
            at,
            actor,
        } => {
            let said = format!("Unit {serial} stands on the register.");
            let mut commands = vec![Command::AddUnit(UnitSaid {
                serial: serial.clone(),
                model,
                name,
            })];
            commands.extend(at.map(|tag| Command::Fit { tag, serial }));
            (commands, actor, said)
        }
        Act::Fit { serial, tag, actor } => {
            let said = format!("Unit {serial} is fitted in {tag}.");
            (vec![Command::Fit { tag, serial }], actor, said)
        }
        Act::Remove { serial, tag, actor } => {
            let said = format!("Unit {serial} is removed from {tag}.");
            (vec![Command::Remove { tag, serial }], actor, said)
        }
    };
    let by = actor.sit_down(&mut desk, context)?;
    for command in commands {
        desk.change(command, &by)?;
    }
    context.out.line(&said)?;
    Ok(Answer::Yes)
}
