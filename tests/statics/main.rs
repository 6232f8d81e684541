//! What holds for every boat, what fit and advice promise, and the cases of independent programs.

mod aim;
mod answer;
mod attitudes;
mod back_solve;
mod bench;
mod both;
mod cases;
mod changed;
mod coverage;
mod demo;
mod described;
mod dive;
mod estimates;
mod evening;
mod executed;
mod first;
mod foretold;
mod inclining;
mod leans;
mod ledger;
mod mesh_import;
mod nested;
mod of_what;
mod phone;
mod plans;
mod plans_made;
mod properties;
mod quick;
mod round;
mod seen;
#[path = "../support/mod.rs"]
mod support;
mod tank_kinds;
mod template;
mod trapped;
mod typed_fill;
