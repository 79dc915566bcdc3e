//! What may be written into the register, and why not.

use reseat_procedure::model::Role;

use super::{
    Amended, Approved, Body, ClockAgreed, ClockGiven, Command, DecisionRule, EntryNamed, Person,
    RULES, RanOn, ReadThrough, Recall, Register, Remark, SiteSaid, SiteValues, Superseded,
};
use crate::log::{Entry, Hash, Id, Stamp, is_day, is_offset, is_utc};
use crate::rebuild::time::local_day;
use crate::recall::{Since, error_of, not_ahead};
use crate::refusal::Refusal;
use crate::text::{NAME_CHARS, NOTE_CHARS, SERIAL_CHARS, clean_text};

/// Most readings one recall names: the entry stays within its longest size.
const MOST_READINGS: usize = 50_000;
/// Most bench points of a recall.
const MOST_BENCH_POINTS: usize = 64;
/// Longest time a demo clock is let run on at once: ten years.
const MOST_RUN_ON_SECONDS: u64 = 10 * 366 * 86_400;

impl Register {
    /// The entry a command makes, unsigned, or the refusal. Kinds of [`super::SIGNED`] are then signed with the key of the
    /// person in the stamp; where the stamp names nobody, with the site key.
    ///
    /// # Errors
    /// The first [`Refusal`].
    pub fn decide(&self, command: Command, stamp: &Stamp) -> Result<Entry, Refusal> {
        self.may_write(stamp)?;
        // The founding has no register yet to look the lead up in; the entry names him all the same.
        let by = if let Command::Found { lead, .. } = &command {
            Some(*lead)
        } else {
            stamp.by
        };
        let body = match command {
            Command::Found {
                site,
                rule,
                site_key,
                lead,
                lead_name,
                lead_key,
            } => self.found(&site, &rule, site_key, lead, &lead_name, lead_key)?,
            _ if self.site.is_none() => return Err(Refusal::NotFounded {}),
            Command::Enrol { .. }
            | Command::GiveRoles { .. }
            | Command::Retire { .. }
            | Command::TakeOnAgain { .. }
            | Command::ChangeKey { .. } => self.decide_people(command, stamp)?,
            Command::AddPlace(_)
            | Command::ChangePlace(_)
            | Command::AddUnit(_)
            | Command::ChangeUnit(_)
            | Command::Fit { .. }
            | Command::Remove { .. } => self.decide_plant(command, stamp)?,
            Command::AddInstrument(_)
            | Command::RenewCalibration { .. }
            | Command::CheckForDay { .. }
            | Command::Quarantine { .. }
            | Command::Return { .. }
            | Command::Withdraw { .. } => self.decide_instrument(command, stamp)?,
            Command::Approve { .. } | Command::Supersede { .. } => {
                self.decide_procedure(command, stamp)?
            }
            Command::SetSite(said) => {
                self.actor_with(Role::Lead, stamp)?;
                self.set_site(&said)?
            }
            Command::JudgeBy { rule } => {
                self.actor_with(Role::Lead, stamp)?;
                if self
                    .site
                    .as_ref()
                    .is_some_and(|site| site.decision_rule == rule)
                {
                    return Err(Refusal::NothingChanges {});
                }
                Body::DecisionRule(DecisionRule { rule })
            }
            Command::AgreeClock { .. } | Command::GiveClock { .. } | Command::RunOn { .. } => {
                self.decide_clock(command, stamp)?
            }
            Command::Recall { .. } => self.recall(command, stamp)?,
            Command::Remark { text, of } => {
                self.actor(stamp)?;
                Body::Remark(Remark {
                    text: text_of("remark", &text, NOTE_CHARS)?,
                    of,
                })
            }
            Command::Amend { of, text, answers } => {
                self.actor(stamp)?;
                amend(of, &text, answers.as_deref())?
            }
        };
        let entry = Entry::next(&self.head, stamp, body.kind(), RULES, body.members());
        Ok(Entry { by, ..entry })
    }

    fn may_write(&self, stamp: &Stamp) -> Result<(), Refusal> {
        if let Some((number, kind)) = &self.newer {
            return Err(Refusal::WrittenByNewer {
                number: *number,
                kind: kind.clone(),
            });
        }
        if self.home.is_some_and(|home| home != stamp.home) {
            return Err(Refusal::OtherHome {});
        }
        if self.home.is_some() && self.demo != stamp.demo {
            return Err(Refusal::DemoMixed {
                register_is_demo: self.demo,
            });
        }
        let bad = if !is_utc(&stamp.utc) {
            "time"
        } else if !is_offset(&stamp.offset) {
            "time zone"
        } else if !stamp.acted.as_deref().is_none_or(is_utc) {
            "time of the act"
        } else {
            return Ok(());
        };
        Err(Refusal::BadStamp {
            member: bad.to_owned(),
        })
    }

    /// The person who acts: named, on the register, not retired.
    pub(super) fn actor(&self, stamp: &Stamp) -> Result<&Person, Refusal> {
        let person = self.known(stamp.by.ok_or(Refusal::NobodyNamed {})?)?;
        if person.retired {
            return Err(Refusal::PersonRetired {
                name: person.name.clone(),
            });
        }
        Ok(person)
    }

    /// The person who acts, holding a role.
    pub(super) fn actor_with(&self, role: Role, stamp: &Stamp) -> Result<&Person, Refusal> {
        let person = self.actor(stamp)?;
        if person.has(role) {
            Ok(person)
        } else {
            Err(Refusal::RoleWanted {
                name: person.name.clone(),
                role,
            })
        }
    }

    /// A person on the register, retired or not.
    pub(super) fn known(&self, id: Id) -> Result<&Person, Refusal> {
        self.people.get(&id).ok_or(Refusal::NoPerson {})
    }

    fn decide_procedure(&self, command: Command, stamp: &Stamp) -> Result<Body, Refusal> {
        let approver = self.actor_with(Role::Approver, stamp)?;
        match command {
            Command::Approve { .. } => self.approve(command, approver, stamp),
            Command::Supersede {
                number,
                revision,
                sha256,
                reason,
            } => self.supersede(&number, &revision, sha256, &reason),
            _ => Err(Refusal::NothingChanges {}),
        }
    }

    fn approve(&self, command: Command, approver: &Person, stamp: &Stamp) -> Result<Body, Refusal> {
        let Command::Approve {
            number,
            revision,
            sha256,
            author,
            walked_by,
            walked_on,
            read,
        } = command
        else {
            return Err(Refusal::NothingChanges {});
        };
        let number = text_of("procedure number", &number, SERIAL_CHARS)?;
        let revision = text_of("revision", &revision, SERIAL_CHARS)?;
        let author = self.known(author)?;
        if author.id == approver.id {
            return Err(Refusal::AuthorApproves {
                name: author.name.clone(),
            });
        }
        if !author.roles.contains(&Role::Author) {
            return Err(Refusal::RoleWanted {
                name: author.name.clone(),
                role: Role::Author,
            });
        }
        let walked_by = self.known(walked_by)?.id;
        come_day_of("day of the walk-through", &walked_on, stamp)?;
        if self
            .approval(&number, &revision, &sha256)
            .is_some_and(|approval| !approval.superseded)
        {
            return Err(Refusal::AlreadyApproved { number, revision });
        }
        Ok(Body::Approved(Approved {
            number,
            revision,
            sha256,
            author: author.id,
            approver: approver.id,
            walked_by,
            walked_on,
            read: Some(read_through(read)?),
        }))
    }

    fn supersede(
        &self,
        number: &str,
        revision: &str,
        sha256: Hash,
        reason: &str,
    ) -> Result<Body, Refusal> {
        let number = text_of("procedure number", number, SERIAL_CHARS)?;
        let revision = text_of("revision", revision, SERIAL_CHARS)?;
        match self.approval(&number, &revision, &sha256) {
            None => Err(Refusal::NotApproved { number, revision }),
            Some(approval) if approval.superseded => {
                Err(Refusal::AlreadySuperseded { number, revision })
            }
            Some(_) => {
                let reason = text_of("reason", reason, NOTE_CHARS)?;
                Ok(Body::Superseded(Superseded {
                    number,
                    revision,
                    sha256,
                    reason,
                }))
            }
        }
    }

    fn set_site(&self, said: &SiteSaid) -> Result<Body, Refusal> {
        within("Minutes before a pause:", said.pause_minutes.into(), 1, 60)?;
        within(
            "Minutes a zero reading holds:",
            said.zero_minutes.into(),
            5,
            720,
        )?;
        within(
            "Minutes of a short pause:",
            said.look_again_minutes.into(),
            1,
            120,
        )?;
        within("Hours of a shift:", said.shift_hours.into(), 1, 24)?;
        within(
            "States a unit may be left in:",
            said.left_states.len() as u64,
            0,
            super::MOST_LEFT_STATES as u64,
        )?;
        let left_states = said
            .left_states
            .iter()
            .map(|state| text_of("state a unit may be left in", state, NAME_CHARS))
            .collect::<Result<Vec<_>, _>>()?;
        let values = SiteValues {
            left_states,
            rule: text_of("lockout rule", &said.rule, NAME_CHARS)?,
            pause_minutes: said.pause_minutes,
            zero_minutes: said.zero_minutes,
            look_again_minutes: said.look_again_minutes,
            shift_hours: said.shift_hours,
            day_checks: said.day_checks,
        };
        let same = self.site.as_ref().is_some_and(|site| {
            site.rule == values.rule
                && site.pause_minutes == values.pause_minutes
                && site.zero_minutes == values.zero_minutes
                && site.look_again_minutes == values.look_again_minutes
                && site.shift_hours == values.shift_hours
                && site.day_checks == values.day_checks
                && site.left_states == values.left_states
        });
        if same {
            Err(Refusal::NothingChanges {})
        } else {
            Ok(Body::SiteValues(values))
        }
    }

    fn decide_clock(&self, command: Command, stamp: &Stamp) -> Result<Body, Refusal> {
        match command {
            Command::AgreeClock { day } => {
                self.actor(stamp)?;
                day_of("day", &day)?;
                Ok(Body::ClockAgreed(ClockAgreed { day }))
            }
            Command::GiveClock { given, machine } => {
                self.actor(stamp)?;
                for typed in std::iter::once(&given).chain(&machine) {
                    if !is_utc(typed) {
                        return Err(Refusal::NoInstant {
                            typed: typed.clone(),
                        });
                    }
                }
                Ok(Body::ClockGiven(ClockGiven { given, machine }))
            }
            Command::RunOn { seconds } if self.demo => {
                within("Seconds:", seconds, 1, MOST_RUN_ON_SECONDS)?;
                Ok(Body::RanOn(RanOn { seconds }))
            }
            _ => Err(Refusal::DemoOnly {}),
        }
    }

    fn recall(&self, command: Command, stamp: &Stamp) -> Result<Body, Refusal> {
        let Command::Recall {
            instrument,
            since,
            from,
            found,
            rebuilds,
            reason,
        } = command
        else {
            return Err(Refusal::RecallEmpty {});
        };
        // Either of the two who decide what becomes of a reading.
        self.actor_with(Role::Releaser, stamp)
            .or_else(|_| self.actor_with(Role::Lead, stamp))?;
        let instrument = self.known_instrument(&instrument)?;
        let readings: usize = rebuilds.iter().map(|one| one.readings().count()).sum();
        if found.is_empty() || readings == 0 {
            return Err(Refusal::RecallEmpty {});
        }
        if readings > MOST_READINGS {
            return Err(Refusal::TooMany {
                what: "readings",
                most: MOST_READINGS,
            });
        }
        if found.len() > MOST_BENCH_POINTS {
            return Err(Refusal::TooMany {
                what: "bench points",
                most: MOST_BENCH_POINTS,
            });
        }
        error_of(instrument, &found)?;
        if let Some(typed) = from.as_ref().filter(|from| !is_utc(from)) {
            return Err(Refusal::NoInstant {
                typed: typed.clone(),
            });
        }
        if let Some(from) = &from {
            let day = local_day(from, &stamp.offset);
            not_ahead(Since::FIELD, &day, stamp)?;
        }
        let reason = text_of("reason", &reason, NOTE_CHARS)?;
        Ok(Body::Recall(Recall {
            instrument: instrument.id.clone(),
            since,
            from,
            found,
            rebuilds,
            reason,
        }))
    }
}

fn amend(of: EntryNamed, text: &str, answers: Option<&str>) -> Result<Body, Refusal> {
    let text = text_of("amendment", text, NOTE_CHARS)?;
    let answers = answers
        .map(|item| text_of("open item", item, NOTE_CHARS))
        .transpose()?;
    Ok(Body::Amended(Amended { of, text, answers }))
}

/// A cleaned text, or the refusal that names the field.
pub(super) fn text_of(field: &'static str, text: &str, limit: usize) -> Result<String, Refusal> {
    clean_text(text, limit).map_err(|fault| Refusal::Text { field, fault })
}

/// A day in the form of the record, or the refusal that names the field.
pub(super) fn day_of(field: &'static str, typed: &str) -> Result<(), Refusal> {
    if is_day(typed) {
        Ok(())
    } else {
        Err(Refusal::NoDay {
            field,
            typed: typed.to_owned(),
        })
    }
}

/// A day that has come, or the refusal that names the field. A clock that is not trusted refuses no day.
pub(super) fn come_day_of(field: &'static str, typed: &str, stamp: &Stamp) -> Result<(), Refusal> {
    day_of(field, typed)?;
    not_ahead(field, typed, stamp)
}

fn within(field: &'static str, given: u64, low: u64, high: u64) -> Result<(), Refusal> {
    if given < low || given > high {
        Err(Refusal::OutOfBounds {
            field,
            given,
            low,
            high,
        })
    } else {
        Ok(())
    }
}

/// The whole text was read, nothing in it is an error, and warnings that stand have their reason.
fn read_through(read: ReadThrough) -> Result<ReadThrough, Refusal> {
    if read.of == 0 || read.pages < read.of {
        return Err(Refusal::NotReadThrough {
            pages: read.pages,
            of: read.of,
        });
    }
    let errors = read.count("error");
    if errors > 0 {
        return Err(Refusal::NotProven { errors });
    }
    let warnings = read.count("warning");
    let reason = match &read.reason {
        Some(reason) => Some(text_of("reason for the warnings", reason, NOTE_CHARS)?),
        None if warnings > 0 => return Err(Refusal::WarningsStand { warnings }),
        None => None,
    };
    Ok(ReadThrough { reason, ..read })
}
