//! The demonstration boat does what its description says.

use trimwright::boat::{Boat, demo_boat};
use trimwright::float::{Basin, FloatModel, Tolerance, release, sweep};
use trimwright::geometry::Fineness;
use trimwright::unit::Celsius;
use trimwright::water::Water;

fn dipper() -> (Boat, FloatModel, Basin) {
    let boat = demo_boat().expect("fixed sizes");
    let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
    let density = Water::Fresh(Celsius(20.0)).density().expect("in range");
    (boat, model, Basin::deep(density))
}

#[test]
fn it_floats_level_and_upright_at_its_marks() {
    let (boat, model, basin) = dipper();
    let outcome = release(&model, basin, &Tolerance::FINE).expect("good water");
    let afloat = outcome.afloat().expect("it floats");
    for mark in &boat.marks {
        let off = afloat.pose.water_height_at(mark.at.x(), mark.at.y()) - mark.at.z();
        assert!(off.abs() < 5e-5, "{}: water {} mm above", mark.name, off * 1e3);
    }
    let heel = afloat.pose.heel().to_degrees();
    assert!(heel.abs() < 1e-6, "heel {heel}");
}

#[test]
fn it_stays_stable_and_nearly_level_on_the_way_down_and_its_tank_takes_it_under() {
    let (_, model, basin) = dipper();
    let down = sweep(&model, basin, &[0], 41, &Tolerance::FINE).expect("good water and tank");
    for row in &down.rows {
        let (heel, trim) = (row.pose().heel().to_degrees(), row.pose().trim().to_degrees());
        assert!(heel.abs() < 0.01, "heel {heel} at fill {}", row.fill);
        assert!(trim.abs() < 1.5, "trim {trim} at fill {}", row.fill);
        let least = row.stiffness().least;
        assert!(least > 0.005, "stiffness {least} at fill {}", row.fill);
    }
    let last = down.rows.last().expect("41 rows");
    assert!(last.residual > 0.05, "full, it is {} kg heavy", last.residual);
}
