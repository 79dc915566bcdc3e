//! The smallest choice of options that brings a finding about.

use std::collections::BTreeMap;

use crate::model::Choice;

/// Most values of options that one proof looks at in searching. A made-up text can have thousands of findings, each on some
/// half of 4,096 routes; after so many looks a finding names one whole choice, which is true, if longer than need be.
pub(crate) const MOST_LOOKS: usize = 64_000_000;

/// An option of more than one value, and how the number of a route tells which of them it has.
struct Wheel<'p> {
    id: &'p str,
    values: Vec<&'p str>,
    /// How many routes stand beside each other with one value of it: routes count like an odometer, the option declared
    /// first slowest.
    stride: usize,
}

/// Some of the options, one bit for each wheel.
#[derive(Clone, Copy)]
struct Part {
    bits: usize,
    /// How many routes share one value of each of them.
    of_each: usize,
}

/// Searches for one procedure, as far as its looks last.
pub(crate) struct Smallest<'p> {
    wheels: Vec<Wheel<'p>>,
    /// Every proper part of the options, the smallest first, among equals those declared first.
    parts: Vec<Part>,
    routes: usize,
    looks_left: usize,
}

impl<'p> Smallest<'p> {
    /// For these options, in the order they are declared; at most 4,096 choices of them, so at most 12 of two values.
    pub(crate) fn new(options: &'p [Choice]) -> Self {
        let mut wheels = Vec::new();
        let mut stride = 1;
        for option in options.iter().rev() {
            // An option of one value is no choice.
            if option.values.len() > 1 {
                wheels.push(Wheel {
                    id: &option.id,
                    values: option.values.iter().map(|(id, _)| id.as_str()).collect(),
                    stride,
                });
            }
            stride *= option.values.len();
        }
        wheels.reverse();
        let mut smallest = Self {
            wheels,
            parts: Vec::new(),
            routes: stride,
            looks_left: MOST_LOOKS,
        };
        smallest.parts = (1..smallest.all())
            .map(|bits| Part {
                bits,
                of_each: smallest.routes / smallest.kinds(bits),
            })
            .collect();
        // Stable: among equals the order of the bits stays.
        smallest.parts.sort_by_key(|part| part.bits.count_ones());
        smallest
    }

    /// The fewest option values such that every route with them is among `routes`, numbers in the order of
    /// [`all_choices`](crate::all_choices); among equals the options and values declared first. Empty: every route.
    pub(crate) fn of(&mut self, routes: &[u16]) -> BTreeMap<String, String> {
        if routes.is_empty() || routes.len() == self.routes {
            return BTreeMap::new();
        }
        for at in 0..self.parts.len() {
            let part = self.parts[at];
            // More routes share these values than have the finding, so that one of them has not.
            let too_many = part.of_each > routes.len();
            let values = if too_many {
                0
            } else {
                routes.len() * part.bits.count_ones() as usize
            };
            let looks = 1 + values;
            if self.looks_left < looks {
                break;
            }
            self.looks_left -= looks;
            if !too_many && let Some(route) = self.whole(part, routes) {
                return self.named(part.bits, route);
            }
        }
        self.named(self.all(), usize::from(routes[0]))
    }

    /// The bits of every option.
    fn all(&self) -> usize {
        (1 << self.wheels.len()) - 1
    }

    /// How many ways there are to choose a value of each of these options.
    fn kinds(&self, bits: usize) -> usize {
        self.wheels(bits).map(|wheel| wheel.values.len()).product()
    }

    fn wheels(&self, mask: usize) -> impl Iterator<Item = &Wheel<'p>> {
        let all = self.wheels.iter().enumerate();
        all.filter(move |(at, _)| mask >> at & 1 == 1)
            .map(|(_, wheel)| wheel)
    }

    /// A route whose values of these options lead to nothing but routes of the list.
    fn whole(&self, part: Part, routes: &[u16]) -> Option<usize> {
        let mut met = vec![(0_usize, 0_usize); self.kinds(part.bits)];
        for route in routes {
            let route = usize::from(*route);
            let kind = self.wheels(part.bits).fold(0, |kind, wheel| {
                kind * wheel.values.len() + route / wheel.stride % wheel.values.len()
            });
            met[kind] = (met[kind].0 + 1, route);
        }
        met.into_iter()
            .find(|(times, _)| *times == part.of_each)
            .map(|(_, route)| route)
    }

    fn named(&self, mask: usize, route: usize) -> BTreeMap<String, String> {
        self.wheels(mask)
            .map(|wheel| {
                let value = wheel.values[route / wheel.stride % wheel.values.len()];
                (wheel.id.to_owned(), value.to_owned())
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::{MOST_LOOKS, Smallest};
    use crate::model::Choice;

    fn options(counts: &[usize]) -> Vec<Choice> {
        let of = |(at, count): (usize, &usize)| Choice {
            id: format!("o{at}"),
            question: String::new(),
            values: (0..*count)
                .map(|value| (format!("v{value}"), String::new()))
                .collect(),
        };
        counts.iter().enumerate().map(of).collect()
    }

    /// Routes on which `has` holds, told the value of each option.
    fn routes(counts: &[usize], has: impl Fn(&[usize]) -> bool) -> Vec<u16> {
        let all: usize = counts.iter().product();
        let mut found = Vec::new();
        for route in 0..all {
            let (mut rest, mut values) = (route, vec![0; counts.len()]);
            for (at, count) in counts.iter().enumerate().rev() {
                (values[at], rest) = (rest % count, rest / count);
            }
            if has(&values) {
                found.push(u16::try_from(route).unwrap_or(u16::MAX));
            }
        }
        found
    }

    fn named(pairs: &[(&str, &str)]) -> BTreeMap<String, String> {
        pairs
            .iter()
            .map(|(id, value)| ((*id).to_owned(), (*value).to_owned()))
            .collect()
    }

    #[test]
    fn the_smallest_is_found_wherever_it_stands() {
        let counts = [2, 1, 3, 2];
        let options = options(&counts);
        let mut smallest = Smallest::new(&options);
        let mut of = |has: fn(&[usize]) -> bool| smallest.of(&routes(&counts, has));
        assert_eq!(of(|_| true), named(&[]));
        assert_eq!(of(|at| at[2] == 1), named(&[("o2", "v1")]));
        assert_eq!(
            of(|at| at[0] == 0 && at[3] == 1),
            named(&[("o0", "v0"), ("o3", "v1")])
        );
        // The first route that has it needs two values; a later one needs only one.
        assert_eq!(
            of(|at| at[0] == 0 && at[2] == 0 || at[3] == 1),
            named(&[("o3", "v1")])
        );
        // One route alone: every option that is a choice.
        assert_eq!(
            of(|at| at[0] == 1 && at[2] == 2 && at[3] == 0),
            named(&[("o0", "v1"), ("o2", "v2"), ("o3", "v0")])
        );
        // Two values of three: both are as small, the one declared first is named.
        assert_eq!(of(|at| at[2] != 0), named(&[("o2", "v1")]));
    }

    /// Twelve options of two values each, and findings that no small choice explains: the looks are counted, and when they
    /// are spent what is named is still true.
    #[test]
    fn a_hostile_text_costs_no_more_than_so_many_looks() {
        let counts = [2; 12];
        let options = options(&counts);
        let mut smallest = Smallest::new(&options);
        let odd = routes(&counts, |at| at.iter().sum::<usize>() % 2 == 1);
        let one = smallest.of(&odd);
        let spent = MOST_LOOKS - smallest.looks_left;
        // Each of the 12 options is in half of their 4,096 parts; all of them and none are not looked at.
        let values = 12 * (1 << 11) - 12;
        // One option alone halves the routes to as many as have the finding, so that each part is looked at.
        assert_eq!(spent, (1 << 12) - 2 + values * odd.len());
        assert_eq!(one.len(), 12);
        // A finding on one route costs a look at each part: none of them can lead to that route alone.
        let before = smallest.looks_left;
        assert_eq!(smallest.of(&odd[..1]).len(), 12);
        assert_eq!(before - smallest.looks_left, (1 << 12) - 2);
        for _ in 0..1_000 {
            assert_eq!(smallest.of(&odd), one);
        }
        assert!(smallest.looks_left < odd.len());
        // What a single value explains costs looks too; with none left the whole choice of one such route is named.
        let first = routes(&counts, |at| at[0] == 1);
        let named = smallest.of(&first);
        assert_eq!(named.len(), 12);
        assert_eq!(named["o0"], "v1");
    }
}
