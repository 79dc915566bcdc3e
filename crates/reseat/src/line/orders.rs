//! Words that may be said at any time, made into commands of the rebuild.

use reseat_record::log::Id;
use reseat_record::rebuild::ask::LONGEST_TEXT;
use reseat_record::rebuild::{AbsentOwner, AdapterSaid, Command, Rebuild, StopKind};
use reseat_record::refusal::{Refusal, Work};
use reseat_record::register::Register;
use reseat_record::text::clean_text;

use super::talk::Refused;
use super::words::minutes;

/// The command a word means, with who signs it where that is not the person at work.
pub(super) fn command(
    word: &str,
    rest: &str,
    rebuild: &Rebuild,
    register: &Register,
) -> Result<(Command, Option<Id>), Refused> {
    let command = match word {
        "pause" => Command::Pause { by_itself: false },
        "hand-over" => hand_over(rest, register)?,
        "stop" => Command::Stop { kind: stop(rest)? },
        "safer" => safer(rest, rebuild)?,
        "wrong" => return wrong(rest, register),
        "finding" => Command::Find { words: text(rest)? },
        "not-applicable" => Command::NotApplicable {
            reason: text(rest)?,
        },
        "dropped" => Command::Dropped { what: text(rest)? },
        "take" => Command::TakeInstrument {
            instrument: text(rest)?,
        },
        "adapter" => Command::Adapter {
            said: adapter(rest)?,
        },
        "fell" => Command::InstrumentDropped {
            instrument: text(rest)?,
        },
        "waiting" => Command::WaitForPart { part: text(rest)? },
        "reopen" => reopen(rest)?,
        "break-off" => Command::BreakOff {
            reason: text(rest)?,
        },
        "deviation" => return deviation(rest, register),
        "own-lock" => return own_lock(rest, register),
        "lock-off" => lock_off(rest, register)?,
        "close-incomplete" => Command::CloseIncomplete {
            reason: text(rest)?,
        },
        "run on" => Command::RunOn {
            minutes: minutes(rest).ok_or_else(|| {
                Refused::new(
                    "no-duration",
                    format!("\"{rest}\" is no duration."),
                    "Say it in whole hours or minutes, such as run on 4 h or run on 20 min.",
                )
            })?,
        },
        _ => return Err(Refusal::from(Work::WrongKind).into()),
    };
    Ok((command, None))
}

/// Words as the record takes them.
fn text(typed: &str) -> Result<String, Refused> {
    if typed.trim().is_empty() {
        return Err(Refusal::from(Work::Empty).into());
    }
    clean_text(typed, LONGEST_TEXT).map_err(|fault| {
        Refusal::from(Work::BadText {
            why: fault.to_string(),
        })
        .into()
    })
}

/// `WORDS to PERSON`, or `WORDS | STATE` to nobody; the state by its words or its number from 1.
fn hand_over(rest: &str, register: &Register) -> Result<Command, Refused> {
    if let Some((words, state)) = rest.rsplit_once('|') {
        let states = register.left_states();
        let state = state.trim();
        let numbered = state
            .parse::<usize>()
            .ok()
            .and_then(|number| states.get(number.checked_sub(1)?));
        return Ok(Command::HandOver {
            words: text(words)?,
            to: None,
            left: Some(numbered.cloned().unwrap_or_else(|| state.to_owned())),
        });
    }
    let Some((words, name)) = rest.rsplit_once(" to ") else {
        let refusal = Refusal::from(Work::HandOverTo);
        let states = register.left_states();
        return Err(Refused::new(
            refusal.code(),
            refusal.sentence(),
            format!(
                "Say hand-over WORDS to PERSON, or hand-over WORDS | STATE; states: {}.",
                states.join("; ")
            ),
        ));
    };
    Ok(Command::HandOver {
        words: text(words)?,
        to: Some(person(name, register)?),
        left: None,
    })
}

/// Lever, length and angle with commas between; none where it comes off.
fn adapter(rest: &str) -> Result<Option<AdapterSaid>, Refused> {
    if rest == "off" {
        return Ok(None);
    }
    let parts: Vec<&str> = rest.split(',').map(str::trim).collect();
    let (lever, length, angle) = match parts[..] {
        [lever, length] => (lever, length, ""),
        [lever, length, angle] => (lever, length, angle),
        _ => {
            return Err(Refused::new(
                "two-parts",
                "The lever of the wrench and the length of the adapter are both wanted.",
                "Say adapter 400 mm, 100 mm, with the angle third where it is not straight on; or adapter off.",
            ));
        }
    };
    Ok(Some(AdapterSaid {
        lever: text(lever)?,
        length: text(length)?,
        angle: angle.to_owned(),
    }))
}

fn stop(typed: &str) -> Result<StopKind, Refused> {
    let typed = typed.replace('-', " ").to_lowercase();
    let named = |kind: &StopKind| {
        kind.words() == typed
            || (!typed.is_empty() && kind.words().split(' ').any(|one| one == typed))
    };
    StopKind::ALL.into_iter().find(named).ok_or_else(|| {
        let kinds = StopKind::ALL.map(StopKind::words).join(", ");
        Refused::new(
            "no-stop-kind",
            format!("Hands off. STOP is one of: {kinds}."),
            "Say stop and the kind, such as stop leak.",
        )
    })
}

fn safer(rest: &str, rebuild: &Rebuild) -> Result<Command, Refused> {
    let words = text(rest)?;
    let (first, after) = words.split_once(' ').unwrap_or((&words, ""));
    let mut steps = rebuild.procedure().steps();
    let written = steps.find(|step| step.id == first);
    Ok(match written {
        None => Command::Safer { step: None, words },
        Some(step) => Command::Safer {
            step: Some(step.id.clone()),
            words: if after.is_empty() {
                step.text.clone()
            } else {
                after.to_owned()
            },
        },
    })
}

fn wrong(rest: &str, register: &Register) -> Result<(Command, Option<Id>), Refused> {
    let seen = rest
        .rsplit_once(" seen by ")
        .map(|(reason, name)| Ok::<_, Refused>((reason, person(name, register)?)));
    let (reason, seen_by) = match seen.transpose()? {
        Some((reason, id)) => (reason, Some(id)),
        None => (rest, None),
    };
    let reason = text(reason)?;
    let command = Command::Strike {
        entry: None,
        reason,
        seen_by,
    };
    Ok((command, seen_by))
}

fn reopen(rest: &str) -> Result<Command, Refused> {
    let (joint, reason) = rest.split_once(char::is_whitespace).ok_or_else(|| {
        Refused::new(
            "two-parts",
            "The joint and the reason are both wanted.",
            "Say reopen J1 and why.",
        )
    })?;
    Ok(Command::Reopen {
        joint: text(joint)?,
        reason: text(reason)?,
    })
}

fn deviation(rest: &str, register: &Register) -> Result<(Command, Option<Id>), Refused> {
    let parts = rest.split_once('|').and_then(|(act, after)| {
        let (reason, name) = after.rsplit_once(" by ")?;
        Some((act, reason, name))
    });
    let (act, reason, name) = parts.ok_or_else(|| {
        Refused::new(
            "two-parts",
            "What is to be done, why, and who signs are all wanted.",
            "Say deviation TEXT | REASON by PERSON.",
        )
    })?;
    let command = Command::Deviate {
        text: text(act)?,
        reason: text(reason)?,
    };
    Ok((command, Some(person(name, register)?)))
}

/// On with its number; off by its owner, who proves himself.
fn own_lock(rest: &str, register: &Register) -> Result<(Command, Option<Id>), Refused> {
    let (owner, number) = rest.rsplit_once('|').ok_or_else(|| {
        Refused::new(
            "two-parts",
            "The worker and the number of his own lock are both wanted.",
            "Say own-lock PERSON | NUMBER, or own-lock PERSON | off.",
        )
    })?;
    let owner = person(owner, register)?;
    let number = text(number)?;
    if super::words::is_word(&number) {
        return Err(super::words::no_lock_number(&number));
    }
    let off = number == "off";
    let command = Command::OwnLock {
        owner,
        number: (!off).then_some(number),
    };
    Ok((command, off.then_some(owner)))
}

fn lock_off(rest: &str, register: &Register) -> Result<Command, Refused> {
    let parts: Vec<&str> = rest.split('|').collect();
    let (point, absent_owner) = match parts[..] {
        [point] => (point, None),
        [point, not_on_site, attempts, told] => (
            point,
            Some(AbsentOwner {
                not_on_site: text(not_on_site)?,
                attempts: text(attempts)?,
                told: text(told)?,
            }),
        ),
        _ => {
            return Err(Refused::new(
                "three-facts",
                "An absent owner's lock takes three facts (29 CFR 1910.147(e)(3)).",
                "Say lock-off POINT | how verified not on site | what was tried | how he is told.",
            ));
        }
    };
    let point = match point.trim().strip_prefix("own:") {
        Some(owner) => format!("own:{}", person(owner, register)?),
        None => text(point)?,
    };
    Ok(Command::LockOff {
        point,
        absent_owner,
    })
}

/// A person by name or identifier.
pub(super) fn person(typed: &str, register: &Register) -> Result<Id, Refused> {
    let typed = typed.trim();
    let by_id = Id::parse(typed).ok().and_then(|id| register.person(id));
    by_id
        .or_else(|| register.person_named(typed))
        .map(|person| person.id)
        .ok_or_else(|| {
            Refused::new(
                "nobody-of-that-name",
                format!("Nobody on the register is called \"{typed}\"."),
                "Say the whole name, or the identifier.",
            )
        })
}
