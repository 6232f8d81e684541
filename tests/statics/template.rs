//! The boats that come with the app, against an independent program's account of them.
//!
//! Source: `tests/data/template/*.json`, calculated by `calculate.py` beside them from the boats'
//! own files; its README says how, and why each tolerance is what it is.

use crate::support::assert_within;
use crate::support::bodies::assert_vector;
use crate::support::case::{list, number, text, triple};
use serde_json::Value;
use std::path::Path;
use trimwright::ballast::outlook;
use trimwright::boat::{
    Boat, Bulkhead, BulkheadDirection, MadePart, Part, check_mark, check_part, check_tank,
};
use trimwright::diary::{BoatRecord, BoatTemplate, TEMPLATES, read};
use trimwright::float::{
    Afloat, Basin, FloatModel, Sweep, SweepRow, Tolerance, hang, release, righting_lever, sweep,
};
use trimwright::frame::Position;
use trimwright::geometry::{Bounds, Fineness};
use trimwright::unit::Celsius;
use trimwright::water::Water;

/// How far the facets of round solids stand out of the circle, as a share of the radius: angle²/12
/// for polygons of the circle's area. The expected values' own 360 corners come on top.
fn facets(fineness: Fineness) -> f64 {
    let stand_out = |corners: f64| (std::f64::consts::TAU / corners).powi(2) / 12.0;
    stand_out(f64::from(fineness.around)) + stand_out(360.0)
}

/// A template with what the independent program says of it.
struct Case {
    record: BoatRecord,
    expected: Value,
    basin: Basin,
}

impl Case {
    fn of(template: &BoatTemplate) -> Self {
        let diary = read(template.text()).expect("a file of ours");
        let [record] = diary.boats.try_into().expect("one boat");
        let file = format!("tests/data/template/{}.json", template.name.to_lowercase());
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
        let results = std::fs::read_to_string(&path).expect("the results of calculate.py");
        let density = Water::Fresh(Celsius(20.0)).density().expect("in range");
        Self {
            record,
            expected: serde_json::from_str(&results).expect("JSON"),
            basin: Basin::deep(density),
        }
    }

    fn parts(&self, fineness: Fineness) -> Vec<MadePart> {
        let made = |p: &trimwright::diary::PartRecord| {
            let entry = p.entry().unwrap_or_else(|e| panic!("{}: {e}", p.name));
            entry.made(fineness).unwrap_or_else(|e| panic!("{}: {e}", p.name))
        };
        self.record.parts.iter().map(made).collect()
    }

    fn boat(&self, fineness: Fineness) -> Boat {
        let parts = self.parts(fineness).into_iter().map(|made| made.part).collect();
        Boat { parts, ..self.record.without_parts().expect("good tanks") }
    }

    fn model(&self, fineness: Fineness) -> FloatModel {
        FloatModel::new(&self.boat(fineness), fineness).expect("a good boat")
    }

    /// What facets do to a length, metres.
    fn length(&self, fineness: Fineness) -> f64 {
        facets(fineness) * number(&self.expected, "half_breadth_m")
    }

    /// What they do to a volume, m³: walls hold half that share more, and they are less than half
    /// of any of these boats; cut segments are off by less.
    fn volume(&self, fineness: Fineness) -> f64 {
        0.25 * facets(fineness) * number(&self.expected, "total_volume_m3")
    }

    /// What they do to a metacentric height: three times their share of the part that comes from
    /// the waterplane, and the centres.
    fn metacentric(&self, fineness: Fineness, from_waterplane: f64) -> f64 {
        3.0 * facets(fineness) * from_waterplane.abs() + self.length(fineness)
    }

    fn sweep(&self, model: &FloatModel, rows: u32) -> Sweep {
        let tanks: Vec<usize> = (0..self.record.tanks.len()).collect();
        sweep(model, self.basin, &tanks, rows, &Tolerance::FINE).expect("good water and tanks")
    }
}

/// Runs a check on every template, in fine facets and in those of the app.
#[expect(clippy::print_stdout, reason = "tells which boat a failure is about")]
fn each(check: impl Fn(&Case, Fineness)) {
    for template in &TEMPLATES {
        let case = Case::of(template);
        for fineness in [Fineness::FINE, Fineness::WORK] {
            println!("{} with {} corners", template.name, fineness.around);
            check(&case, fineness);
        }
    }
}

fn afloat(case: &Case, model: &FloatModel) -> Afloat {
    let outcome = release(model, case.basin, &Tolerance::FINE).expect("good water");
    outcome.afloat().expect("it floats").clone()
}

#[test]
fn each_part_weighs_what_the_independent_program_says() {
    each(|case, fineness| {
        let boat = case.boat(fineness);
        let tanks = boat.tanks.iter().map(|t| (&t.name, t.mass));
        let ours: Vec<_> = boat.parts_aboard().map(|p| (&p.name, p.mass)).chain(tanks).collect();
        let theirs = list(&case.expected, "parts_kg");
        assert_eq!(ours.len(), theirs.len(), "as many parts");
        for ((name, mass), row) in ours.into_iter().zip(theirs) {
            assert_eq!(name, text(row, "name"), "the same part");
            let expected = number(row, "mass_kg");
            assert_within(mass, expected, facets(fineness) * expected + 1e-8, name);
        }
    });
}

#[test]
fn it_floats_as_the_independent_program_says() {
    each(|case, fineness| {
        let (model, expected) = (case.model(fineness), &case.expected["afloat"]);
        let (length, volume) = (case.length(fineness), case.volume(fineness));
        assert_within(case.basin.density, number(&case.expected, "water_kg_m3"), 1e-4, "water");
        let total = number(&case.expected, "total_volume_m3");
        assert_within(model.total_volume(), total, volume, "total volume");
        let centre = triple(&case.expected["total_centre_m"]);
        assert_vector(model.total_centre().vector(), centre, length, "centre of the total volume");
        let got = afloat(case, &model);
        let mass = number(expected, "displacement_kg");
        assert_within(got.mass, mass, volume * case.basin.density, "displacement");
        let displaced = number(expected, "displaced_volume_m3");
        assert_within(got.volume, displaced, volume, "displaced volume");
        let (gravity, buoyancy) =
            (&expected["centre_of_gravity_m"], &expected["centre_of_buoyancy_m"]);
        assert_vector(got.centre_of_gravity.vector(), triple(gravity), length, "CG");
        assert_vector(got.centre_of_buoyancy.vector(), triple(buoyancy), length, "CB");
        for (row, mark) in list(expected, "marks_mm").iter().zip(&case.boat(fineness).marks) {
            let above = got.pose.water_height_at(mark.at.x(), mark.at.y()) - mark.at.z();
            assert_within(above, number(row, "above_mm") / 1e3, length, text(row, "name"));
        }
        let over = triple(gravity)[2] - triple(buoyancy)[2];
        for (name, got, key) in [
            ("GM across", got.stiffness.across, "gm_across_m"),
            ("GM along", got.stiffness.along, "gm_along_m"),
        ] {
            let expected = number(expected, key);
            assert_within(got, expected, case.metacentric(fineness, expected + over), name);
        }
        let (across, along) = (number(expected, "gm_across_m"), number(expected, "gm_along_m"));
        let heel = got.pose.heel();
        assert_within(heel, number(expected, "heel_deg").to_radians(), length / across, "list");
        let trim = got.pose.trim();
        assert_within(trim, number(expected, "trim_deg").to_radians(), length / along, "trim");
    });
}

#[test]
fn it_rights_itself_as_the_independent_program_says() {
    each(|case, fineness| {
        let model = case.model(fineness);
        let expected = &case.expected["afloat"];
        let over = triple(&expected["centre_of_gravity_m"])[2]
            - triple(&expected["centre_of_buoyancy_m"])[2];
        let across = number(expected, "gm_across_m") + over;
        for row in list(&case.expected, "righting") {
            let degrees = number(row, "heel_deg");
            let got = righting_lever(&model, case.basin, degrees.to_radians(), &Tolerance::FINE)
                .expect("good water");
            let lever = number(row, "lever_m");
            let allowed = case.metacentric(fineness, across);
            assert_within(got.lever, lever, allowed, &format!("lever at {degrees} degrees"));
        }
    });
}

#[test]
fn its_tanks_must_take_what_the_independent_program_says_and_it_hangs_so() {
    each(|case, fineness| {
        let (model, marks) = (case.model(fineness), case.boat(fineness).marks);
        let tank = &case.expected["tank"];
        let got = outlook(&model, case.basin, None, &marks).expect("good water");
        let (length, volume) = (case.length(fineness), case.volume(fineness));
        let need = number(tank, "need_m3");
        assert_within(got.tank.need(), need, volume, "tank need");
        let usable = number(tank, "usable_m3");
        assert_within(got.tank.has, usable, 1e-8 * usable, "what the tanks can take");
        let spare = got.tank.margin().expect("it needs something");
        let expected = number(tank, "spare_share");
        assert_within(spare, expected, volume / need * (1.0 + expected), "spare");
        let fill = number(tank, "fill_for_neutral");
        // Weight and displacement are both off by as much.
        let fill_off = 2.0 * volume / number(tank, "capacity_m3");
        let mut neutral = model.clone();
        let mut found = 0.0;
        for (k, tank) in case.record.tanks.iter().enumerate() {
            let [least, most] = [tank.least_fill.unwrap_or(0.0), tank.most_fill.unwrap_or(1.0)];
            found = least + got.under.share * (most - least);
            neutral = neutral.with_fill(k, fill).expect("a good fill");
        }
        assert_within(found, fill, fill_off, "fill for neutral");
        let (hangs, expected) = (
            hang(&neutral, case.basin, &Tolerance::FINE).expect("good water"),
            &case.expected["neutral"],
        );
        let bg = number(expected, "bg_m");
        assert_within(hangs.bg, bg, 2.0 * length, "BG");
        for (name, got, key) in [
            ("GM across", hangs.stiffness.across, "gm_across_m"),
            ("GM along", hangs.stiffness.along, "gm_along_m"),
        ] {
            assert_within(got, number(expected, key), case.metacentric(fineness, bg), name);
        }
        let heel = number(expected, "heel_deg").to_radians();
        assert_within(hangs.pose.heel(), heel, length / bg, "list under water");
        let trim = number(expected, "trim_deg").to_radians();
        assert_within(hangs.pose.trim(), trim, length / bg, "trim under water");
    });
}

#[test]
fn it_goes_down_as_the_independent_program_says() {
    each(|case, fineness| {
        assert_way(case, fineness, &case.model(fineness), list(&case.expected, "sweep"));
    });
}

/// Compares each row of the way down.
fn assert_way(case: &Case, fineness: Fineness, model: &FloatModel, expected: &[Value]) {
    let n_rows = u32::try_from(expected.len()).expect("a few rows");
    let got = case.sweep(model, n_rows);
    let length = case.length(fineness);
    for (row, want) in got.rows.iter().zip(expected) {
        let fill = number(want, "fill");
        // Nine digits are printed.
        assert_within(row.fill, fill, 0.5001e-9, "the same fill");
        let named = |what: &str| format!("{what} at fill {fill}");
        let floats = Some(row.outcome.afloat().is_some());
        assert_eq!(floats, want["floats"].as_bool(), "{}", named("floats"));
        let residual = 2.0 * case.volume(fineness) * case.basin.density;
        assert_within(row.residual, number(want, "residual_kg"), residual, &named("residual"));
        let (across, along) = (number(want, "gm_across_m"), number(want, "gm_along_m"));
        let stiffness = row.stiffness();
        // Where the surface is just below a round top, the breadth there is off by as much more.
        let crown = number(want, "crown").max(1.0);
        let allowed = |gm: f64| case.metacentric(fineness, crown * (gm + BG_AT_MOST));
        assert_within(stiffness.across, across, allowed(across), &named("GM across"));
        assert_within(stiffness.along, along, allowed(along), &named("GM along"));
        // The others stay upright.
        let upright = want["gm_across_upright_m"].as_f64().unwrap_or(across);
        assert_within(row.upright.across, upright, allowed(upright), &named("GM upright"));
        let (heel, trim) = (row.pose().heel(), row.pose().trim());
        let want_heel = number(want, "heel_deg").to_radians();
        // A boat without a list may lean to either side.
        assert_within(heel.abs(), want_heel.abs(), length / across, &named("lean"));
        let want_trim = number(want, "trim_deg").to_radians();
        assert_within(trim, want_trim, length / along, &named("trim"));
    }
}

/// No template has its centre of buoyancy higher above that of gravity, metres.
const BG_AT_MOST: f64 = 0.03;

#[test]
fn it_lies_at_its_marks_has_stability_and_tank_enough_and_hangs_level() {
    for template in &TEMPLATES {
        let case = Case::of(template);
        let boat = case.record.boat().expect("a good record");
        let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
        let name = template.name;
        assert!(boat.marks.len() >= 3, "{name}: {} marks", boat.marks.len());
        let got = outlook(&model, case.basin, None, &boat.marks).expect("good water");
        let floating = &got.afloat;
        assert!(floating.outcome.afloat().is_some(), "{name} floats");
        for mark in &floating.marks {
            assert!(mark.above.abs() < 0.5e-3, "{name}, {}: {} m", mark.name, mark.above);
        }
        let (heel, trim) = (floating.pose.heel().to_degrees(), floating.pose.trim().to_degrees());
        assert!(heel.abs() < 0.1 && trim.abs() < 0.1, "{name}: list {heel}, trim {trim}");
        let beam = 2.0 * number(&case.expected, "half_breadth_m");
        let gm = floating.stiffness.across;
        assert!(gm >= 0.04 * beam && gm >= 0.004, "{name}: GM {gm} at a beam of {beam}");
        let spare = got.tank.margin().expect("it needs something");
        assert!((0.05..=0.25).contains(&spare), "{name}: {spare} of the need to spare");
        assert!(got.tank.neutral_share().is_some(), "{name} can be made neutral");
        let hangs = &got.under.hangs;
        let (heel, trim) = (hangs.pose.heel().to_degrees(), hangs.pose.trim().to_degrees());
        assert!(heel.abs() < 1.0 && trim.abs() < 1.0, "{name} hangs: list {heel}, trim {trim}");
        assert!(hangs.bg >= 0.005, "{name}: BG {}", hangs.bg);
        println!(
            "{name}: GM {:.1} mm, BG {:.1} mm, {:.0} ml of tank needed, {:.0} % to spare",
            gm * 1e3,
            hangs.bg * 1e3,
            got.tank.need() * 1e6,
            spare * 100.0
        );
    }
}

/// The one that leans on its way down.
const LEANS: &str = "Coot";

#[test]
fn the_others_never_lose_their_stability_on_the_way_down() {
    for template in TEMPLATES.iter().filter(|t| t.name != LEANS) {
        let case = Case::of(template);
        let down = case.sweep(&case.model(Fineness::WORK), 41);
        for row in &down.rows {
            let (heel, trim) = (row.pose().heel().to_degrees(), row.pose().trim().to_degrees());
            let at = format!("{} at fill {}", template.name, row.fill);
            assert!(heel.abs() < 0.01, "{at}: list {heel}");
            assert!(trim.abs() < 2.0, "{at}: trim {trim}");
            assert!(row.stiffness().least > 0.004, "{at}: {}", row.stiffness().least);
        }
        let last = down.rows.last().expect("41 rows");
        assert!(last.residual > 0.0, "{}: full, {} kg", template.name, last.residual);
    }
}

/// The template that leans.
fn leaning() -> Case {
    Case::of(TEMPLATES.iter().find(|t| t.name == LEANS).expect("it comes with the app"))
}

#[test]
fn one_leans_midway_though_it_sits_well_afloat_and_under() {
    let case = leaning();
    let model = case.model(Fineness::WORK);
    let down = case.sweep(&model, 101);
    let degrees = |row: &SweepRow| row.pose().heel().to_degrees().abs();
    for row in &down.rows {
        let (at, gm) = (format!("at fill {}", row.fill), row.upright.across);
        let off = row.outcome.centre_of_gravity().y();
        assert!(degrees(row) > 0.1 || off.abs() < 1e-9, "no list: {off} m {at}");
        assert!(row.pose().trim().to_degrees().abs() < 1.0, "level {at}");
        assert!(row.stiffness().least > 0.0, "at rest {at}: {:?}", row.stiffness());
        if (0.2..=0.55).contains(&row.fill) {
            assert!(gm < 0.0, "top-heavy {at}: {gm}");
            assert!((8.0..20.0).contains(&degrees(row)), "a loll {at}: {} degrees", degrees(row));
        }
        if row.fill >= 0.7 {
            assert!(gm > 0.0 && degrees(row) < 0.01, "upright {at}: GM {gm}");
        }
    }
    let first = &down.rows[0];
    assert!(first.upright.across >= 0.008 && degrees(first) < 0.01, "upright when blown");
    let worst = down.row_of_least(|row| row.upright.across).expect("101 rows");
    assert!((-0.0075..-0.003).contains(&worst.upright.across), "{}", worst.upright.across);
    let lost = worst.upright.free_surface_across;
    assert!(lost > 0.01, "its free surface takes {lost} m");
    let most = down.rows.iter().map(degrees).fold(0.0, f64::max);
    assert!(most < 20.0, "it leans by {most} degrees");
    let neutral = number(&case.expected["tank"], "fill_for_neutral");
    let hung = model.with_fill(0, neutral).expect("a good fill");
    let hung = hang(&hung, case.basin, &Tolerance::FINE).expect("good water");
    assert!(hung.bg >= 0.006, "BG {}", hung.bg);
    assert!(hung.stiffness.least > 0.003, "under water: {:?}", hung.stiffness);
}

#[test]
fn one_bulkhead_lengthwise_cures_it() {
    let case = leaning();
    let cured = &case.expected["cured"];
    let (text, at) = (text(&cured["bulkhead"], "way"), number(&cured["bulkhead"], "at_m"));
    assert_eq!(text, "lengthwise", "the way it stands");
    for fineness in [Fineness::FINE, Fineness::WORK] {
        let mut boat = case.boat(fineness);
        boat.tanks[0].bulkheads.push(Bulkhead { way: BulkheadDirection::Lengthwise, at });
        let model = FloatModel::new(&boat, fineness).expect("a good boat");
        assert_way(&case, fineness, &model, list(cured, "sweep"));
        for row in &case.sweep(&model, 41).rows {
            let (gm, heel) = (row.upright.across, row.pose().heel().to_degrees());
            assert!(gm >= 0.003, "GM {gm} at fill {}", row.fill);
            assert!(heel.abs() < 0.01, "list {heel} at fill {}", row.fill);
        }
    }
}

#[test]
fn the_mirrored_boat_gives_the_mirrored_answer() {
    for template in &TEMPLATES {
        let case = Case::of(template);
        let mut boat = case.boat(Fineness::WORK);
        // Off the centre plane, or the mirror would have nothing to show.
        boat.parts.push(Part::weight("pebble", 0.02, Position::new(0.05, 0.02, 0.06)));
        let answer = |boat: &Boat| {
            let model = FloatModel::new(boat, Fineness::WORK).expect("a good boat");
            outlook(&model, case.basin, None, &boat.marks).expect("good water")
        };
        let (one, other) = (answer(&boat), answer(&boat.mirrored()));
        let name = template.name;
        let (heel, mirrored) = (one.afloat.pose.heel(), other.afloat.pose.heel());
        assert!(heel < -1e-3, "{name} lists to port by {heel}");
        assert_within(mirrored, -heel, 1e-8, &format!("{name}: list"));
        let trims = (one.afloat.pose.trim(), other.afloat.pose.trim());
        assert_within(trims.1, trims.0, 1e-8, &format!("{name}: trim"));
        for (a, b) in one.afloat.marks.iter().zip(&other.afloat.marks) {
            assert_within(b.above, a.above, 1e-9, &format!("{name}: {}", a.name));
        }
        let stiffness = (one.afloat.stiffness, other.afloat.stiffness);
        assert_within(stiffness.1.across, stiffness.0.across, 1e-8, &format!("{name}: GM"));
        assert_within(other.tank.need(), one.tank.need(), 1e-12, &format!("{name}: tank need"));
        let hangs = (&one.under.hangs, &other.under.hangs);
        assert!(hangs.0.pose.heel() < -1e-3, "{name} hangs to port");
        assert_within(hangs.1.pose.heel(), -hangs.0.pose.heel(), 1e-8, &format!("{name} hangs"));
        assert_within(hangs.1.bg, hangs.0.bg, 1e-9, &format!("{name}: BG"));
    }
}

#[test]
fn nothing_of_it_is_where_it_cannot_be() {
    for template in &TEMPLATES {
        let case = Case::of(template);
        let (made, boat) = (case.parts(Fineness::WORK), case.boat(Fineness::WORK));
        let name = template.name;
        assert!((15..=20).contains(&made.len()), "{name} has {} parts", made.len());
        let mut groups: Vec<&str> = case.record.parts.iter().map(|p| p.group.as_str()).collect();
        groups.sort_unstable();
        groups.dedup();
        assert!((3..=5).contains(&groups.len()), "{name} has the groups {groups:?}");
        let around = |without: usize| {
            let others = made.iter().enumerate().filter(|(k, _)| *k != without);
            others.filter_map(|(_, m)| Some(m.mesh.as_ref()?.bounds())).reduce(Bounds::joined)
        };
        for (k, part) in made.iter().enumerate() {
            let answer = check_part(part, around(k));
            assert_eq!(answer, Ok(()), "{name}: {}", part.part.name);
        }
        let outer = || made.iter().filter_map(|m| m.outer.as_deref());
        for tank in &boat.tanks {
            let cavity = tank.cavity.mesh(Fineness::WORK).expect("a good cavity");
            let answer = check_tank(tank, &cavity, outer());
            assert_eq!(answer, Ok(()), "{name}: {}", tank.name);
        }
        let hull = FloatModel::new(&boat, Fineness::WORK).expect("a good boat").bounds();
        for mark in &boat.marks {
            assert_eq!(check_mark(mark.at, hull), Ok(()), "{name}: {}", mark.name);
        }
    }
}

#[test]
fn a_template_opens_as_the_record_in_its_file() {
    for template in &TEMPLATES {
        let record = template.boat_record().expect("a file of ours");
        assert_eq!(record, Case::of(template).record, "{}", template.name);
        assert_eq!(record.name, template.name, "its name");
    }
}
