//! A procedure read page by page, as its approver does before he signs: each step of each route as the technician will see
//! it, the findings about it, and the stack it leaves.
//!
//! A page that reads the same on several routes is read once. What was read is counted, so that an approval can say it.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Finding, Severity};
use crate::model::Procedure;
use crate::outline::{OutlinedStep, outline};
use crate::prove::{all_choices, check, is_too_much};
use crate::route::Choices;
use crate::stack::{Stack, stacks};

/// One page: the cover, or a step of a route.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    /// Title of the section; of the procedure on the cover.
    pub section: String,
    /// What to wear in this section.
    pub ppe: Vec<String>,
    /// The step; none on the cover.
    pub step: Option<OutlinedStep>,
    /// Lines of the cover: what is needed and what the findings without a step are about.
    pub cover: Vec<String>,
    /// Findings about it on this route.
    pub findings: Vec<Finding>,
    /// What the unit is like after it; none on the cover.
    pub stack: Option<Stack>,
}

/// What a page says, whichever route it is on.
type PageKey = String;

impl Page {
    /// Everything it says that a person reads, its number and its picture apart.
    fn key(&self) -> PageKey {
        let mut said = vec![self.section.clone()];
        said.extend(self.ppe.iter().cloned());
        said.extend(self.cover.iter().cloned());
        if let Some(step) = &self.step {
            said.extend([step.id.clone(), step.energy.to_owned(), step.text.clone()]);
            said.extend(
                step.warnings
                    .iter()
                    .chain(&step.asks)
                    .chain(&step.marks)
                    .cloned(),
            );
        }
        said.extend(self.findings.iter().map(|finding| finding.message.clone()));
        said.join("\n")
    }
}

/// A procedure with what was read of it so far.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    procedure: Procedure,
    findings: Vec<Finding>,
    routes: Vec<Choices>,
    wanted: BTreeSet<PageKey>,
    seen: BTreeSet<PageKey>,
}

impl Reading {
    /// Opens a procedure at its cover, nothing read yet.
    ///
    /// # Errors
    /// Every finding of a text that is no procedure, or that has more choices of options, or more on them, than is proved.
    pub fn of(bytes: &[u8]) -> Result<Self, Vec<Finding>> {
        let procedure = crate::read(bytes)?;
        let findings = check(bytes);
        if is_too_much(&procedure) {
            return Err(findings);
        }
        let mut reading = Self {
            routes: all_choices(&procedure),
            procedure,
            findings,
            wanted: BTreeSet::new(),
            seen: BTreeSet::new(),
        };
        for at in 0..reading.routes.len() {
            let pages = reading.texts(at);
            reading.wanted.extend(pages.iter().map(Page::key));
        }
        Ok(reading)
    }

    /// The procedure.
    pub fn procedure(&self) -> &Procedure {
        &self.procedure
    }

    /// Everything found, in the order of the text.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// How many findings weigh so much.
    pub fn count(&self, severity: Severity) -> usize {
        self.findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    }

    /// Every choice of options.
    pub fn routes(&self) -> &[Choices] {
        &self.routes
    }

    /// The pages of a route: the cover, then each step.
    pub fn pages(&self, route: usize) -> Vec<Page> {
        let mut pages = self.texts(route);
        let Some(choices) = self.routes.get(route) else {
            return pages;
        };
        let drawn = stacks(&self.procedure, choices);
        for (page, stack) in pages.iter_mut().skip(1).zip(drawn) {
            page.stack = Some(stack);
        }
        pages
    }

    fn texts(&self, route: usize) -> Vec<Page> {
        let Some(choices) = self.routes.get(route) else {
            return Vec::new();
        };
        let on_route = |finding: &&Finding| {
            finding
                .options
                .iter()
                .all(|(option, value)| choices.0.get(option) == Some(value))
        };
        let mut of_step: BTreeMap<&str, Vec<Finding>> = BTreeMap::new();
        let mut of_all = Vec::new();
        for finding in self.findings.iter().filter(on_route) {
            match &finding.step {
                Some(step) => of_step.entry(step).or_default().push(finding.clone()),
                None => of_all.push(finding.clone()),
            }
        }
        let seen = outline(&self.procedure, choices);
        let mut pages = vec![Page {
            section: seen.title.clone(),
            ppe: Vec::new(),
            step: None,
            cover: self.cover(),
            findings: of_all,
            stack: None,
        }];
        for section in seen.sections {
            for step in section.steps {
                pages.push(Page {
                    section: section.title.clone(),
                    ppe: section.ppe.clone(),
                    findings: of_step.get(step.id.as_str()).cloned().unwrap_or_default(),
                    cover: Vec::new(),
                    step: Some(step),
                    stack: None,
                });
            }
        }
        pages
    }

    /// Who wrote it, for what, and what it needs in hand.
    fn cover(&self) -> Vec<String> {
        let procedure = &self.procedure;
        let list = |what: &str, names: Vec<String>| match names.as_slice() {
            [] => format!("{what}: none"),
            names => format!("{what}: {}", names.join("; ")),
        };
        let mut cover = vec![
            format!("Written by {}", procedure.author),
            list("Models", procedure.models.clone()),
            format!("Kit {}", procedure.kit.number),
        ];
        for option in &procedure.options {
            let values: Vec<&str> = option
                .values
                .iter()
                .map(|(_, label)| label.as_str())
                .collect();
            cover.push(format!("{} {}", option.question, values.join(", ")));
        }
        cover.push(list(
            "Energies",
            procedure
                .energies
                .iter()
                .map(|energy| format!("{}, {}: {}", energy.label, energy.size, energy.method))
                .collect(),
        ));
        cover.push(list(
            "Instruments",
            procedure
                .instruments
                .iter()
                .map(|instrument| format!("{} {}", instrument.id, instrument.label))
                .collect(),
        ));
        cover.push(list(
            "Consumables",
            procedure
                .consumables
                .iter()
                .map(|consumable| format!("{} {}", consumable.id, consumable.label))
                .collect(),
        ));
        cover
    }

    /// The page was shown to its end.
    pub fn see(&mut self, page: &Page) {
        self.seen.insert(page.key());
    }

    /// What was read of the same text in another sitting counts here too.
    pub fn see_also(&mut self, other: &Self) {
        self.seen.extend(other.seen.iter().cloned());
    }

    /// Whether this page was read, here or on another route.
    pub fn was_seen(&self, page: &Page) -> bool {
        self.seen.contains(&page.key())
    }

    /// Pages read, of all that differ on some route.
    pub fn read_of(&self) -> (usize, usize) {
        (
            self.seen.intersection(&self.wanted).count(),
            self.wanted.len(),
        )
    }

    /// Whether every page of every route was read.
    pub fn is_whole(&self) -> bool {
        let (read, of) = self.read_of();
        read == of
    }

    /// The first page not read yet, on this route or on the next one that has such a page: route and page.
    pub fn unread(&self, route: usize) -> Option<(usize, usize)> {
        let routes = self.routes.len();
        (0..routes)
            .map(|step| (route + step) % routes)
            .find_map(|route| {
                let at = self
                    .texts(route)
                    .iter()
                    .position(|page| !self.was_seen(page))?;
                Some((route, at))
            })
    }
}
