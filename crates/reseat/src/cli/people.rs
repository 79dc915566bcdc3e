//! `reseat people`: who is on the register.

use std::collections::BTreeSet;
use std::path::PathBuf;

use clap::Subcommand;
use reseat_procedure::model::Role;
use reseat_record::register::Command;
use serde_json::json;
use zeroize::Zeroizing;

use super::act::{Actor, person};
use super::secret::Source;
use super::{Answer, Context, Stop, table};
use crate::desk::{Desk, Enrolment, SiteWords};

#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(super) struct Args {
    /// Write JSON: an array with id, name, roles and retired
    #[arg(long)]
    json: bool,
    #[command(subcommand)]
    act: Option<Act>,
}

#[derive(Debug, Subcommand)]
enum Act {
    /// Enrol a person, who chooses passphrase and PIN himself
    Add {
        /// Name
        name: String,
        /// A role; give it once for each role
        #[arg(long = "role", value_name = "ROLE", required = true, value_parser = role)]
        roles: Vec<Role>,
        #[command(flatten)]
        actor: Actor,
    },
    /// Give a person roles instead of those he has
    Roles {
        /// Name or id
        person: String,
        /// A role; give it once for each role
        #[arg(long = "role", value_name = "ROLE", required = true, value_parser = role)]
        roles: Vec<Role>,
        #[command(flatten)]
        actor: Actor,
    },
    /// Retire a person; what he signed stays good
    Retire {
        /// Name or id
        person: String,
        /// Why
        #[arg(long)]
        reason: String,
        #[command(flatten)]
        actor: Actor,
    },
    /// Enrol a new key for a person who forgot the passphrase
    NewKey {
        /// Name or id
        person: String,
        /// Why
        #[arg(long, default_value = "passphrase forgotten")]
        reason: String,
        #[command(flatten)]
        actor: Actor,
    },
    /// Enrol a lead by the words of the site's key, when no lead is left
    Lead {
        /// Name of the new lead, or of the last lead who forgot the passphrase
        name: String,
        /// File with the words, as they stand on the paper
        #[arg(long, value_name = "FILE")]
        words: PathBuf,
        #[command(flatten)]
        source: Source,
    },
}

fn role(word: &str) -> Result<Role, String> {
    Role::from_word(word).ok_or_else(|| {
        let words: Vec<&str> = Role::ALL.iter().map(|role| role.word()).collect();
        format!("a role is one of {}", words.join(", "))
    })
}

pub(super) fn run(args: Args, context: &mut Context) -> Result<Answer, Stop> {
    match args.act {
        None => list(args.json, context),
        Some(act) => change(act, context),
    }
}

fn list(as_json: bool, context: &mut Context) -> Result<Answer, Stop> {
    let desk = context.read()?;
    let mut people: Vec<_> = desk.register().people().collect();
    people.sort_by(|a, b| (a.retired, &a.name).cmp(&(b.retired, &b.name)));
    let words = |roles: &BTreeSet<Role>| roles.iter().map(|role| role.word()).collect::<Vec<_>>();
    if as_json {
        let list: Vec<_> = people
            .iter()
            .map(|person| {
                json!({"id": person.id.to_string(), "name": person.name, "roles": words(&person.roles), "retired": person.retired})
            })
            .collect();
        context.out.json(&json!(list))?;
    } else {
        let rows: Vec<Vec<String>> = people
            .iter()
            .map(|person| {
                let roles = if person.retired {
                    "retired".to_owned()
                } else {
                    words(&person.roles).join(", ")
                };
                vec![person.name.clone(), person.id.to_string(), roles]
            })
            .collect();
        table::print(&mut context.out, &["name", "id", "roles"], &rows)?;
    }
    Ok(Answer::Yes)
}

fn change(act: Act, context: &mut Context) -> Result<Answer, Stop> {
    let mut desk = context.work()?;
    let said = match act {
        Act::Add { name, roles, actor } => {
            let by = actor.sit_down(&mut desk, context)?;
            let enrolment = chosen(name, roles, &actor.source, context)?;
            let id = desk.enrol(&enrolment, &by)?;
            format!("{} is enrolled, id {id}.", enrolment.name)
        }
        Act::Roles {
            person: typed,
            roles,
            actor,
        } => {
            let (id, name) = known(&desk, &typed)?;
            let by = actor.sit_down(&mut desk, context)?;
            desk.change(
                Command::GiveRoles {
                    person: id,
                    roles: roles.into_iter().collect(),
                },
                &by,
            )?;
            format!("{name} has new roles.")
        }
        Act::Retire {
            person: typed,
            reason,
            actor,
        } => {
            let (id, name) = known(&desk, &typed)?;
            let by = actor.sit_down(&mut desk, context)?;
            desk.change(Command::Retire { person: id, reason }, &by)?;
            format!("{name} is retired.")
        }
        Act::NewKey {
            person: typed,
            reason,
            actor,
        } => {
            let (id, name) = known(&desk, &typed)?;
            let by = actor.sit_down(&mut desk, context)?;
            let secret = actor.source.chosen_by(&name, context)?;
            desk.new_key(&id, &secret.passphrase, &secret.pin, &reason, &by)?;
            format!("{name} has a new key.")
        }
        Act::Lead {
            name,
            words,
            source,
        } => lead(&mut desk, name, &words, &source, context)?,
    };
    context.out.line(&said)?;
    Ok(Answer::Yes)
}

fn known(desk: &Desk, typed: &str) -> Result<(reseat_record::log::Id, String), Stop> {
    let person = person(desk.register(), typed)?;
    Ok((person.id, person.name.clone()))
}

fn chosen(
    name: String,
    roles: Vec<Role>,
    source: &Source,
    context: &mut Context,
) -> Result<Enrolment, Stop> {
    let secret = source.chosen_by(&name, context)?;
    Ok(Enrolment {
        name,
        roles: roles.into_iter().collect(),
        passphrase: secret.passphrase,
        pin: secret.pin,
    })
}

fn lead(
    desk: &mut Desk,
    name: String,
    words: &std::path::Path,
    source: &Source,
    context: &mut Context,
) -> Result<String, Stop> {
    let text = std::fs::read_to_string(words)
        .map(Zeroizing::new)
        .map_err(|error| {
            Stop::words(
                format!("{} cannot be read: {error}.", words.display()),
                "Give a text file with the words of the site's key.",
            )
        })?;
    let words = SiteWords::read(&text).map_err(crate::desk::Fault::from)?;
    let known = desk
        .register()
        .person_named(&name)
        .filter(|person| !person.retired)
        .map(|person| person.id);
    if let Some(id) = known {
        let secret = source.chosen_by(&name, context)?;
        desk.new_key_with_words(
            &words,
            &id,
            &secret.passphrase,
            &secret.pin,
            "by the words of the site's key",
        )?;
        return Ok(format!("{name} has a new key."));
    }
    let enrolment = chosen(name, vec![Role::Lead], source, context)?;
    let id = desk.enrol_lead_with_words(&words, &enrolment)?;
    Ok(format!("{} is enrolled as lead, id {id}.", enrolment.name))
}
