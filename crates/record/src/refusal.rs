//! Every refusal a person can meet: a stable code, what is wrong, and what to do about it.
//!
//! All English of refusals stands here, so that screens, line mode and command line say the same. A row of the table is a
//! variant with its members, its code, its sentence and its remedy.

use reseat_procedure::model::Role;

use crate::text::TextFault;

mod instrument;
mod work;

pub use instrument::Against;
pub use work::Work;

macro_rules! refusals {
    ($(
        $(#[$doc:meta])*
        $name:ident { $($field:ident: $type:ty),* } $code:literal
            => ($($sentence:tt)+); ($($remedy:tt)+);
    )*) => {
        /// Why something is not done. Nothing is lost by it: no entry was written.
        #[derive(Debug, Clone, PartialEq, Eq)]
        #[non_exhaustive]
        #[expect(missing_docs, reason = "the members are what the sentence of each row names")]
        pub enum Refusal {
            $( $(#[$doc])* $name { $($field: $type),* }, )*
            /// An act or answer at the unit.
            Work(Work),
        }

        impl From<Work> for Refusal {
            fn from(work: Work) -> Self {
                Self::Work(work)
            }
        }

        impl Refusal {
            /// Every code, in the order of the table.
            pub const CODES: &'static [&'static str] = &[$($code),*];

            /// Stable code, for scripts and for the pages that list them.
            pub fn code(&self) -> &'static str {
                match self { $( Self::$name { .. } => $code, )* Self::Work(work) => work.code() }
            }

            /// What is wrong, in one sentence.
            #[allow(unused_variables, reason = "a sentence need not name every member")]
            pub fn sentence(&self) -> String {
                match self { $( Self::$name { $($field),* } => format!($($sentence)+), )* Self::Work(work) => work.sentence() }
            }

            /// What to do, in one sentence.
            #[allow(unused_variables, reason = "a remedy need not name every member")]
            pub fn remedy(&self) -> String {
                match self { $( Self::$name { $($field),* } => format!($($remedy)+), )* Self::Work(work) => work.remedy() }
            }
        }
    };
}

impl Refusal {
    /// Whether what was typed is no value that could be taken: a day, a date that has not come, a quantity on another scale. A
    /// value that could be taken and is not, by a rule, is none of these.
    #[must_use]
    pub fn is_no_value(&self) -> bool {
        matches!(
            self,
            Self::NoDay { .. }
                | Self::DayAhead { .. }
                | Self::DueBeforeCalibrated {}
                | Self::NotOnScale { .. }
                | Self::NotAboveZero { .. }
                | Self::UsableBeyondRange {}
                | Self::RangeOpen { .. }
                | Self::CoverageAlone {}
                | Self::BenchPoint { .. }
                | Self::BenchOrder { .. }
                | Self::BenchSaysNothing { .. }
        )
    }
}

refusals! {
    // Any stream.
    /// The stream holds something this program does not know.
    WrittenByNewer { number: u64, kind: String } "written-by-newer"
        => ("Entry {number} ({kind}) was written by a newer reseat; the record can be read here, not added to.");
           ("Use the newer reseat for this home.");
    /// Another home's stream.
    OtherHome {} "other-home"
        => ("This record belongs to another laptop."); ("Write it on the laptop that founded the record.");
    /// Demo and real do not mix.
    DemoMixed { register_is_demo: bool } "demo-mixed"
        => ("This is a {}.", if *register_is_demo { "demo site; a real record cannot be written into it" } else { "real site; a demo record cannot be written into it" });
           ("Open the home that the record belongs to.");
    /// The stamp itself does not fit the record.
    BadStamp { member: String } "bad-stamp"
        => ("The entry cannot be written: its {member} is not in the form of the record.");
           ("Set the machine's clock and time zone, then try again.");
    /// A person must act here, and none is named.
    NobodyNamed {} "nobody-named"
        => ("Nobody is named as doing this."); ("Say who you are first.");
    /// The person is not on the register.
    NoPerson {} "no-person"
        => ("This person is not on the register."); ("Have a lead enrol this person, or choose another one.");
    /// The person was retired.
    PersonRetired { name: String } "person-retired"
        => ("{name} was retired from the register."); ("Choose another person, or have a lead take this one on again.");
    /// The person lacks a role.
    RoleWanted { name: String, role: Role } "role-wanted"
        => ("{name} is not {} on the register.", with_article(*role));
           ("Have somebody with this role do it, or have a lead give the role.");
    /// A text is not taken.
    Text { field: &'static str, fault: TextFault } "text"
        => ("The {field} {fault}."); ("{}", text_remedy(*fault));
    /// A day is not one.
    NoDay { field: &'static str, typed: String } "no-day"
        => ("The {field} \"{typed}\" is no day."); ("Give year, month and day, such as 2026-03-12.");
    /// An instant is not in its form.
    NoInstant { typed: String } "no-instant"
        => ("\"{typed}\" is no date and time."); ("Give date and time, such as 2026-03-12 13:55.");
    /// A value lies outside what is allowed.
    OutOfBounds { field: &'static str, given: u64, low: u64, high: u64 } "out-of-bounds"
        => ("{field} {given} is outside {low} to {high}."); ("Give a value inside the limits.");
    /// A list longer than is kept.
    TooMany { what: &'static str, most: usize } "too-many"
        => ("There are more than {most} {what}."); ("Split it.");
    /// Nothing would change.
    NothingChanges {} "nothing-changes"
        => ("It stands like that already."); ("Nothing needs doing.");

    // Founding and people.
    /// The register is not founded.
    NotFounded {} "not-founded"
        => ("This site is not founded yet."); ("Start reseat and found the site: name, lockout rule, first lead.");
    /// The register is founded already.
    AlreadyFounded { site: String } "already-founded"
        => ("This home already belongs to the site {site}."); ("Choose another home for another site.");
    /// The site key acts although a lead is there.
    LeadIsThere { name: String } "lead-is-there"
        => ("{name} is lead on the register; the site key acts only when no lead is left."); ("Have the lead sign.");
    /// The site key may enrol a lead and no one else.
    SiteKeyForLeadOnly {} "site-key-for-lead-only"
        => ("The site key can enrol a lead and nobody else."); ("Enrol a lead with the site key; the lead enrols the others.");
    /// No lead would be left.
    LastLead { name: String } "last-lead"
        => ("{name} is the last lead; with no lead left nobody can be enrolled."); ("Enrol another lead first.");
    /// A person of this name is on the register.
    NameTaken { name: String } "name-taken"
        => ("{name} is already on the register."); ("Give a name that tells them apart.");
    /// The identifier is taken.
    IdTaken {} "id-taken"
        => ("This identifier is already on the register."); ("Try again; a new identifier is drawn each time.");
    /// The key belongs to somebody, or is the site's.
    KeyTaken { name: String } "key-taken"
        => ("This key already belongs to {name}."); ("Make a new key for this person.");
    /// The key is no usable public key.
    KeyUnusable {} "key-unusable"
        => ("This is no usable public key."); ("Make a new key for this person.");
    /// A person without a role could do nothing.
    NoRoles {} "no-roles"
        => ("No role is given."); ("Give at least one role, or retire the person.");
    /// The person is not retired.
    NotRetired { name: String } "not-retired"
        => ("{name} is not retired."); ("Give roles or a new key instead.");

    // Places and units.
    /// The tag is on the register.
    TagTaken { tag: String } "tag-taken"
        => ("The tag {tag} is already on the register."); ("Choose the place by its tag, or read the tag again on the plant.");
    /// No place has the tag.
    NoPlace { tag: String } "no-place"
        => ("No place on the register has the tag {tag}."); ("Read the tag again, or put the place on the register.");
    /// A place stands in for itself.
    RedundantWithItself { tag: String } "redundant-with-itself"
        => ("{tag} cannot stand in for itself."); ("Give the tag of the other one of the pair, or leave it out.");
    /// The serial is on the register.
    SerialTaken { serial: String, name: String } "serial-taken"
        => ("The serial {serial} is already on the register: {name}."); ("Read the serial on the nameplate again, or choose the one on the register.");
    /// No unit has the serial.
    NoUnit { serial: String } "no-unit"
        => ("No unit on the register has the serial {serial}."); ("Read the serial on the nameplate again, or put the unit on the register.");
    /// The place holds a unit.
    PlaceHolds { tag: String, serial: String } "place-holds"
        => ("{tag} still holds the unit {serial}."); ("Remove that unit from its place first.");
    /// The unit is fitted somewhere.
    UnitFitted { serial: String, tag: String } "unit-fitted"
        => ("The unit {serial} is fitted at {tag}."); ("Remove it from there first.");
    /// The unit is not in that place.
    NotFitted { serial: String, tag: String } "not-fitted"
        => ("The unit {serial} is not fitted at {tag}."); ("Read tag and serial again on the plant.");

    // Instruments.
    /// An instrument of this name is on the register.
    InstrumentTaken { id: String } "instrument-taken"
        => ("The instrument {id} is already on the register."); ("Choose it from the list, or read its mark again.");
    /// No instrument has the name.
    NoInstrument { id: String } "no-instrument"
        => ("No instrument on the register is named {id}."); ("Read its mark again, or put it on the register.");
    /// The scale cannot stand on such an instrument.
    ScaleUnfit { instrument: &'static str, scale: &'static str } "scale-unfit"
        => ("The scale reads a {scale}, which no {instrument} does."); ("Read the unit on the scale again, or choose what the instrument is.");
    /// A quantity of the instrument is of another kind than its scale.
    NotOnScale { field: &'static str, scale: String } "not-on-scale"
        => ("The {field} is not given in a unit of the scale {scale}."); ("Give it in a unit of the scale.");
    /// A value that must be above zero is not.
    NotAboveZero { field: &'static str } "not-above-zero"
        => ("The {field} is not above zero."); ("Give a value above zero.");
    /// The usable part leaves the range.
    UsableBeyondRange {} "usable-beyond-range"
        => ("The usable part goes beyond the range."); ("Give a part that lies inside the range.");
    /// The window lacks an end.
    RangeOpen { field: &'static str } "range-open"
        => ("The {field} lacks its lower or its upper end."); ("Give both ends, such as 40..200 N·m.");
    /// Uncertainty and coverage factor stand together.
    CoverageAlone {} "coverage-alone"
        => ("Uncertainty and coverage factor belong together; one of them is missing."); ("Take both from the certificate, or leave both out.");
    /// Due on or before the calibration.
    DueBeforeCalibrated {} "due-before-calibrated"
        => ("The due date is not after the day of calibration."); ("Read both dates on the certificate again.");
    /// A day that has not come yet, by a clock that is trusted or was given.
    DayAhead { field: &'static str, typed: String, today: String } "day-ahead"
        => ("The {field}, {typed}, is after today, {today}."); ("Read the date again; where today is wrong, set the clock right first.");
    /// The instrument is quarantined already.
    AlreadyQuarantined { id: String } "already-quarantined"
        => ("{id} is quarantined."); ("Choose another instrument; a lead returns this one once it is checked.");
    /// The instrument is not quarantined.
    NotQuarantined { id: String } "not-quarantined"
        => ("{id} is not quarantined."); ("It is in service as it is.");
    /// The instrument was withdrawn.
    InstrumentWithdrawn { id: String } "instrument-withdrawn"
        => ("{id} was withdrawn for good."); ("Choose another instrument.");
    /// A recall that names no reading, or no bench point.
    RecallEmpty {} "recall-empty"
        => ("The recall names no reading or no point found on the bench."); ("Give the points found on the bench and the readings to put in doubt.");
    /// A bench point that is no value.
    BenchPoint { field: &'static str, why: String } "bench-point"
        => ("The {field} of the bench point cannot be read: {why}."); ("Type what was true on the bench and what the instrument showed then, such as 100 and 109.");
    /// Bench points that do not rise.
    BenchOrder { before: String, after: String } "bench-order"
        => ("The bench points do not rise: true {after} comes after true {before}."); ("Give them from the lowest true value to the highest, each once.");
    /// Bench points that say nothing of the error.
    BenchSaysNothing { why: String } "bench-says-nothing"
        => ("The bench points say nothing: {why}."); ("Read the bench's sheet again and give each point as it stands there.");
    /// The readings are no more those that were shown.
    RecallMoved {} "recall-moved"
        => ("Readings came in, or the register changed, after the list was shown."); ("Look at the list again, then sign it.");

    // Procedures.
    /// Author and approver are one person.
    AuthorApproves { name: String } "author-approves"
        => ("{name} wrote this procedure and cannot approve it."); ("Have another approver read and approve it.");
    /// Pages of the procedure were not read.
    NotReadThrough { pages: u32, of: u32 } "not-read-through"
        => ("{pages} of {of} pages of the procedure were read."); ("Read each page of each choice of options to its end, then approve.");
    /// The procedure has errors.
    NotProven { errors: usize } "not-proven"
        => ("Errors found in the procedure: {errors}."); ("Have its author put them right; reseat check names each with its place.");
    /// Warnings stand and nobody says why they may.
    WarningsStand { warnings: usize } "warnings-stand"
        => ("Warnings found in the procedure: {warnings}, and no reason why they may stand."); ("Give the reason, or have its author put them right.");
    /// The revision is approved already.
    AlreadyApproved { number: String, revision: String } "already-approved"
        => ("{number} revision {revision} is approved already."); ("It can be used as it is.");
    /// No such approval.
    NotApproved { number: String, revision: String } "not-approved"
        => ("{number} revision {revision} is not approved on this site."); ("Have an approver approve it first.");
    /// The revision is superseded already.
    AlreadySuperseded { number: String, revision: String } "already-superseded"
        => ("{number} revision {revision} is superseded already."); ("Use the revision that is approved now.");

    // Clock.
    /// Only in a demo home.
    DemoOnly {} "demo-only"
        => ("Only the clock of a demo site can be let run on."); ("On a real site set the machine's clock.");
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.sentence(), self.remedy())
    }
}

impl std::error::Error for Refusal {}

fn text_remedy(fault: TextFault) -> String {
    match fault {
        TextFault::Empty => "Type it.".into(),
        TextFault::TooLong { limit } => format!("Say it in at most {limit} characters."),
        TextFault::Control(_) | TextFault::Hidden(_) => {
            "Type it by hand, on one line, in letters that can be seen.".into()
        }
    }
}

/// The role with its article; `operations` takes none.
fn with_article(role: Role) -> String {
    match role {
        Role::Operations => role.word().to_owned(),
        Role::Author | Role::Approver => format!("an {}", role.word()),
        _ => format!("a {}", role.word()),
    }
}
