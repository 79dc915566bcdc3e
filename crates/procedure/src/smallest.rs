//! The smallest choice of options that brings a finding about.

use std::collections::BTreeMap;

use crate::model::Choice;

/// Most looks at a route that one proof spends on searching. A made-up text can have thousands of findings, each on some
/// half of 4,096 routes; after so many looks a finding names one whole choice, which is true, if longer than need be.
pub(crate) const MOST_LOOKS: usize = 32_000_000;

/// An option of more than one value, and how the number of a route tells which of them it has.
struct Wheel<'p> {
    id: &'p str,
    values: Vec<&'p str>,
    /// How many routes stand beside each other with one value of it: routes count like an odometer, the option declared
    /// first slowest.
    stride: usize,
}

/// Searches for one procedure, as far as its looks last.
pub(crate) struct Smallest<'p> {
    wheels: Vec<Wheel<'p>>,
    routes: usize,
    looks_left: usize,
}

impl<'p> Smallest<'p> {
    /// For these options, in the order they are declared; `routes` is the product of their values.
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
        Self {
            wheels,
            routes: stride,
            looks_left: MOST_LOOKS,
        }
    }

    /// The fewest option values such that every route with them is among `routes`, numbers in the order of
    /// [`all_choices`](crate::all_choices); among equals the options and values declared first. Empty: every route.
    pub(crate) fn of(&mut self, routes: &[u16]) -> BTreeMap<String, String> {
        if routes.is_empty() || routes.len() == self.routes {
            return BTreeMap::new();
        }
        let count = self.wheels.len();
        for wanted in 1..count {
            for mask in 1..1_usize << count {
                if mask.count_ones() as usize != wanted {
                    continue;
                }
                if self.looks_left < routes.len() {
                    return self.named((1 << count) - 1, usize::from(routes[0]));
                }
                self.looks_left -= routes.len();
                if let Some(route) = self.whole(mask, routes) {
                    return self.named(mask, route);
                }
            }
        }
        self.named((1 << count) - 1, usize::from(routes[0]))
    }

    fn wheels(&self, mask: usize) -> impl Iterator<Item = &Wheel<'p>> {
        let all = self.wheels.iter().enumerate();
        all.filter(move |(at, _)| mask >> at & 1 == 1)
            .map(|(_, wheel)| wheel)
    }

    /// A route whose values of these options lead to nothing but routes of the list.
    fn whole(&self, mask: usize, routes: &[u16]) -> Option<usize> {
        let kinds: usize = self.wheels(mask).map(|wheel| wheel.values.len()).product();
        let of_each = self.routes / kinds;
        if routes.len() < of_each {
            return None;
        }
        let mut met = vec![(0_usize, 0_usize); kinds];
        for route in routes {
            let route = usize::from(*route);
            let kind = self.wheels(mask).fold(0, |kind, wheel| {
                kind * wheel.values.len() + route / wheel.stride % wheel.values.len()
            });
            met[kind] = (met[kind].0 + 1, route);
        }
        met.into_iter()
            .find(|(times, _)| *times == of_each)
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
        // Every mask of 1 to 11 of the 12 options, each a look at every route that has it.
        assert_eq!(spent, ((1 << 12) - 2) * odd.len());
        assert_eq!(one.len(), 12);
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
