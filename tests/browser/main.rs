//! The app in a real browser: Chromium as a phone of 390 × 844, driven through `chromedriver`, on
//! the optimised build in the folder that `TRIM_DIST` names (`dist` when it names none).
//!
//! One file per behaviour. `page` holds what a person does and sees, by name, and counts taps, `thumb` how
//! they meet; `phone` the browsers, each of which serves one test after the other, from a tab of its own;
//! `expected` is the core's own answer to the same entries; pictures are left in `artefacts/`.
//! Nothing here asserts a time: what is measured is printed as `FIGURE name value unit aim`.

mod aboard;
mod access;
mod aim;
mod ballast;
mod bench;
mod bench_change;
mod bench_refuse;
mod boat_file;
mod changed;
mod checks;
mod crash;
mod demo;
mod dive;
mod dive_motion;
mod done;
mod doors;
mod drawn;
mod driver;
mod entry;
mod evening;
mod evidence;
mod expected;
mod failing;
mod faults;
mod files;
mod first_boat;
mod forms;
mod half_typed;
mod hands;
mod heard;
mod import;
mod keep;
mod language;
mod latency;
mod layout;
mod ledger;
#[path = "../support/locale.rs"]
mod locale;
mod long_tasks;
mod look;
mod many;
mod mesh;
mod nested;
mod page;
mod paper;
mod past;
mod phone;
mod plans;
mod quick;
#[path = "../support/real.rs"]
mod real;
mod refuse;
mod removal;
mod server;
mod session;
mod settings;
mod sight;
mod site;
mod start;
mod store;
mod tank_kinds;
mod thumb;
mod tilt;
mod typing;
mod update;
mod versions;
mod walk;
mod way_back;
mod windows;
