//! Threads, strengths, nut factors, torque and orders held against published values, and every row of the invented sites'
//! torque table. One file for each subject.

mod order;
mod sites;
mod thread;
mod torque;

use reseat_measure::{Bolt, Grade, Thread};

const LBF: f64 = 4.448_221_615_260_5;

fn thread(text: &str) -> Thread {
    Thread::parse(text).unwrap_or_else(|refused| panic!("{refused}"))
}

fn bolt(size: &str, grade: &str) -> Bolt {
    Bolt::new(
        thread(size),
        Grade::parse(grade).unwrap_or_else(|refused| panic!("{refused}")),
    )
    .expect("strength")
}
