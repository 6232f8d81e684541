//! The drawing on the bench: every part as it is described, to tap and to drag.

use crate::signal::{Memo, memo};
use crate::state::{BoatInHand, Desk, Editing, LiesOtherwise, lying_so};
use crate::ui::figures;
use crate::ui::node::{Node, view};
use crate::ui::widget::{Drag, Drawing, Drawn, Look, Picked, Scene, drawn_of};
use crate::words::t;
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::diary::{BoatRecord, InsideRecord, PartRecord};
use trimwright::material::{MaterialKind, named};

/// The boat as described, afloat.
#[component]
pub(crate) fn Picture(
    /// How else the boat can lie.
    otherwise: LiesOtherwise,
) -> Node {
    let desk = expect_context::<Desk>();
    let derived = desk.derived;
    // A boat that cannot be calculated for the moment is drawn as it last could be.
    let hand = Memo::new_with_compare(
        move |before: Option<&Option<Arc<BoatInHand>>>| {
            let id = derived.record.with(|r| r.as_ref().map(|r| r.id.clone()));
            let last = || before.cloned().flatten().filter(|h| Some(&h.id) == id.as_ref());
            derived.boat.get().and_then(Result::ok).or_else(last)
        },
        |_, _| true,
    );
    let there = memo(move || hand.with(Option::is_some));
    view! {
        {move || match there.get().then(|| hand.get_untracked()).flatten() {
            None => {
                view! {
                    <p class="quiet empty-drawing" data-testid="no-drawing">
                        {t!("bench.no_drawing")}
                    </p>
                }
            }
            Some(first) => view! { <Shown hand first otherwise /> },
        }}
    }
}

/// The drawing of a boat that is there.
#[component]
fn Shown(
    /// The boat.
    hand: Memo<Option<Arc<BoatInHand>>>,
    /// The same as it is now.
    first: Arc<BoatInHand>,
    /// How else the boat can lie.
    otherwise: LiesOtherwise,
) -> Node {
    let desk = expect_context::<Desk>();
    let derived = desk.derived;
    let shown = Memo::new_with_compare(
        move |before: Option<&Arc<BoatInHand>>| {
            hand.get().unwrap_or_else(|| before.cloned().unwrap_or_else(|| Arc::clone(&first)))
        },
        |_, _| true,
    );
    let parts = memo(move || {
        derived.record.with(|r| shown.with(|h| r.as_ref().map(|r| drawn(h, r)).unwrap_or_default()))
    });
    let scene = Memo::new(move |before: Option<&Scene>| {
        let ahead = derived.outlook.with(|o| o.as_ref().map(|o| Scene::of(&o.afloat)));
        ahead.or(before.copied()).unwrap_or_else(|| {
            let centre = shown.with(|h| h.model.centre_of_gravity(nalgebra::Vector3::z_axis()));
            Scene::upright(centre.vector().into())
        })
    });
    // The scene as it lies is kept beside, so that it is what the boat comes back to.
    let scene = memo(move || {
        let so = otherwise.looked_at().and_then(|so| {
            let lies = shown.with(|h| lying_so(h, derived.density.get(), &so))?;
            Some(Scene::lying(lies.pose(), &lies))
        });
        so.unwrap_or_else(|| scene.get())
    });
    let words = memo(move || {
        let name = shown.with(|h| h.boat.name.clone());
        if let Some(so) = otherwise.looked_at() {
            return t!(
                "bench.as_it_can_also_lie",
                name = name,
                lies = figures::other_attitude(&so).1
            );
        }
        derived.outlook.with(|o| match o {
            Some(o) => t!("bench.as_described", name = name, lies = figures::lies_afloat(o)),
            None => t!("bench.as_last_drawn", name = name),
        })
    });
    let is_other = memo(move || otherwise.looked_at().is_some());
    let picked = memo(move || desk.form.with(|f| f.as_ref().and_then(|f| picked_of(f.of))));
    view! {
        {move || {
            is_other
                .get()
                .then(|| {
                    view! {
                        <button
                            type="button"
                            class="before-after"
                            data-testid="as-it-lies"
                            on:click=move |_| otherwise.drawn.set(None)
                        >
                            {t!("bench.show_as_it_lies")}
                        </button>
                    }
                })
        }}
        <Drawing
            hand=shown
            scene
            words
            parts=parts
            zoomable=true
            picked
            pick=move |what: Picked| {
                if let Some(line) = line_of(what) {
                    desk.open_form(line);
                }
            }
            drag=move |drag: Drag| {
                if let Some(line) = line_of(drag.what) {
                    desk.drag(line, drag.by, drag.done);
                }
            }
        />
    }
}

fn line_of(what: Picked) -> Option<Editing> {
    Some(match what {
        Picked::Part(k) => Editing::Part(Some(k)),
        Picked::Tank(k) => Editing::Tank(Some(k)),
        Picked::Mark(k) => Editing::Mark(Some(k)),
        Picked::Phone => return None,
    })
}

fn picked_of(of: Editing) -> Option<Picked> {
    match of {
        Editing::Part(line) => line.map(Picked::Part),
        Editing::Tank(line) => line.map(Picked::Tank),
        Editing::Mark(line) => line.map(Picked::Mark),
        Editing::Place(_) | Editing::Boat(_) | Editing::Aim => None,
    }
}

/// Parts and tanks of the boat, each drawn by what it is made of.
fn drawn(hand: &BoatInHand, record: &BoatRecord) -> Vec<Drawn> {
    let mut drawn = drawn_of(hand);
    for one in &mut drawn {
        let Picked::Part(line) = one.what else { continue };
        if let Some(part) = record.parts.get(line) {
            one.look = look(part);
        }
        if let Some(Ok(made)) = hand.parts.get(line) {
            // A hollow part is seen from outside; its outline is that of its outer surface.
            one.mesh.clone_from(&made.outer);
        }
    }
    drawn
}

fn look(part: &PartRecord) -> Look {
    if part.solid.is_none() {
        return Look::Weight;
    }
    if part.wall.as_ref().is_some_and(|w| w.inside == InsideRecord::Flooded) {
        return Look::Shell;
    }
    let kind = part.material.as_ref().and_then(|m| named(&m.name)).map(|m| m.kind);
    match kind {
        Some(MaterialKind::Metal) => Look::Metal,
        Some(MaterialKind::Plastic) => Look::Plastic,
        Some(MaterialKind::Wood) => Look::Wood,
        Some(MaterialKind::Foam) => Look::Foam,
        Some(MaterialKind::Composite) => Look::Composite,
        _ => Look::Other,
    }
}
