//! A skeleton of a procedure from a few answers: one JSON text that can be read, with every section a rebuild needs.
//!
//! Nothing that belongs to the plant or to an engineer is invented: windows come from the answers, ranges and errors of
//! instruments are left out (the proof asks for them), and the window of zero is nothing but zero until the author writes
//! that of his gauge. The passes are the published 30, 60 and 100 % of the middle of the window.

use reseat_measure::{Condition, Decimal, Quantity, Rounding, Window};

/// What an author answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// Number of the procedure.
    pub number: String,
    /// What is rebuilt.
    pub title: String,
    /// Who writes it.
    pub author: String,
    /// Model of the unit.
    pub model: String,
    /// Process energies, each a name and its highest pressure.
    pub energies: Vec<DraftEnergy>,
    /// Joints that are opened.
    pub joints: Vec<DraftJoint>,
    /// Pressure at which the opened joints are proved.
    pub test: Quantity,
}

/// A source of pressure.
#[derive(Debug, Clone, PartialEq)]
pub struct DraftEnergy {
    /// Name on the screen.
    pub name: String,
    /// Highest pressure.
    pub pressure: Quantity,
}

/// A joint.
#[derive(Debug, Clone, PartialEq)]
pub struct DraftJoint {
    /// Number, such as `J1`.
    pub id: String,
    /// The part it holds, such as `cap`.
    pub part: String,
    /// How many fasteners.
    pub fasteners: u32,
    /// What they are called, plural.
    pub named: String,
    /// Thread.
    pub thread: String,
    /// Grade.
    pub grade: String,
    /// Thread condition the window is written for.
    pub condition: Condition,
    /// Window of the last pass, with both limits.
    pub window: Window,
    /// Torque of each pass.
    pub passes: [Quantity; 3],
}

/// Why an answer cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DraftFault {
    /// Too few or too many fields.
    #[error("\"{text}\" wants {wanted} fields with ; between them, and has {found}: {form}")]
    Fields {
        /// As given.
        text: String,
        /// How many fields were found.
        found: usize,
        /// How many are wanted.
        wanted: usize,
        /// The form.
        form: &'static str,
    },
    /// A field is not what it must be.
    #[error("\"{field}\" is no {wanted}{why}")]
    Field {
        /// As given.
        field: String,
        /// What it must be, with an example.
        wanted: &'static str,
        /// The reason, if the reader gave one.
        why: String,
    },
}

/// How an energy is answered.
pub const ENERGY_FORM: &str = "inlet water; 10 bar g";

/// How a joint is answered.
pub const JOINT_FORM: &str = "J1; cap; 4 screws; M10×1.5; A4-70; N; 19..22 N·m";

fn fault(field: &str, wanted: &'static str, why: &dyn ToString) -> DraftFault {
    let why = why.to_string();
    DraftFault::Field {
        field: field.to_owned(),
        wanted,
        why: if why.is_empty() {
            why
        } else {
            format!(": {why}")
        },
    }
}

fn fields<'t, const N: usize>(
    text: &'t str,
    form: &'static str,
) -> Result<[&'t str; N], DraftFault> {
    let found: Vec<&str> = text.split(';').map(str::trim).collect();
    let count = found.len();
    let whole: Result<[&str; N], _> = found.try_into();
    match whole {
        Ok(fields) => match fields.iter().find(|field| field.is_empty()) {
            Some(empty) => Err(fault(empty, "field", &"it is empty")),
            None => Ok(fields),
        },
        Err(_) => Err(DraftFault::Fields {
            text: text.to_owned(),
            found: count,
            wanted: N,
            form,
        }),
    }
}

/// A pressure with its reference, such as `10 bar g`.
///
/// # Errors
/// What is wrong with the text.
pub fn pressure(text: &str) -> Result<Quantity, DraftFault> {
    const WANTED: &str = "pressure such as 10 bar g";
    let quantity = Quantity::parse(text).map_err(|error| fault(text, WANTED, &error))?;
    if quantity.reference().is_none() {
        return Err(fault(text, WANTED, &"say g, a or d behind the unit"));
    }
    Ok(quantity)
}

impl DraftEnergy {
    /// Reads an answer of the form [`ENERGY_FORM`].
    ///
    /// # Errors
    /// What is wrong with the text.
    pub fn parse(text: &str) -> Result<Self, DraftFault> {
        let [name, size] = fields(text, ENERGY_FORM)?;
        Ok(Self {
            name: name.to_owned(),
            pressure: pressure(size)?,
        })
    }
}

impl DraftJoint {
    /// Reads an answer of the form [`JOINT_FORM`].
    ///
    /// # Errors
    /// What is wrong with the text.
    pub fn parse(text: &str) -> Result<Self, DraftFault> {
        const COUNT: &str = "number and name of fasteners such as 4 screws";
        const WINDOW: &str = "window of torque with both limits such as 19..22 N·m";
        let [id, part, fasteners, thread, grade, letter, window] = fields(text, JOINT_FORM)?;
        let (count, named) = fasteners
            .split_once(' ')
            .ok_or_else(|| fault(fasteners, COUNT, &""))?;
        let count: u32 = count.parse().map_err(|_| fault(fasteners, COUNT, &""))?;
        let condition: Condition = letter
            .parse()
            .map_err(|error| fault(letter, "letter of a thread condition", &error))?;
        let read = Window::parse(window).map_err(|error| fault(window, WINDOW, &error))?;
        let passes = passes(&read).ok_or_else(|| fault(window, WINDOW, &""))?;
        Ok(Self {
            id: id.to_owned(),
            part: part.to_owned(),
            fasteners: count,
            named: named.trim().to_owned(),
            thread: thread.to_owned(),
            grade: grade.to_owned(),
            condition,
            window: read,
            passes,
        })
    }
}

/// 30, 60 and 100 % of the middle of the window, with one decimal more than its limits.
fn passes(window: &Window) -> Option<[Quantity; 3]> {
    let (low, high) = (window.low()?, window.high()?);
    let twice = low
        .decimal()
        .to_rational()
        .plus(high.decimal().to_rational())
        .ok()?;
    let decimals = low.decimal().decimals().max(high.decimal().decimals()) + 1;
    let share = |percent: i64| -> Option<Quantity> {
        let part = Decimal::new(percent, 0).ok()?.to_rational();
        let whole = Decimal::new(200, 0).ok()?.to_rational();
        let target = twice.times(part).ok()?.over(whole).ok()?;
        let rounded = target.round_to(decimals, Rounding::Nearest).ok()?;
        Quantity::new(rounded, window.unit(), None).ok()
    };
    Some([share(30)?, share(60)?, share(100)?])
}
