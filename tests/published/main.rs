//! Published values and closed forms. Every table says where it is from.

mod fit;
mod float;
mod hull;
mod material;
mod solid;
mod stability;
#[path = "../support/mod.rs"]
mod support;
mod symmetry;
mod tank;
mod transition;
mod unit;
mod water;
