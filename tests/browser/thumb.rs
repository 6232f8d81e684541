//! How a thumb taps: where something is, once it stands still, and never what lies over it.

use crate::driver::finger;
use crate::page::Page;
use serde::Deserialize;
use serde_json::json;
use thirtyfour::prelude::*;

/// A thumb hits the label of a small or hidden button, and the heading of what is folded.
const TARGET: &str = r#"
const e = find(arguments[0]);
const small = e?.matches("input[type=radio], input[type=checkbox]");
const folded = e?.matches("details");
const target = folded ? e.querySelector("summary") : small && e.labels?.length ? e.labels[0] : e;
target?.scrollIntoView({ block: arguments[1] ?? "center", inline: "nearest", behavior: "instant" });
"#;

/// Where a thumb meets it, once it stands still: in the middle of what is in sight of it; and what lies
/// over it there. What appears by itself above (that something could not be kept) can still push the
/// page between this look and the thumb: a person sees that and lays the thumb elsewhere, so a touch that
/// would meet something else is stopped, and noted. What the app does of a touch that met is not its
/// matter: a tap that it loses is lost.
const PLACE: &str = r#"
const done = arguments[arguments.length - 1];
if (!target?.getClientRects().length) return done(null);
const middle = () => {
  const [box] = target.getClientRects();
  const half = (from, to, end) => (Math.max(from, 0) + Math.min(to, end)) / 2;
  return box && [half(box.left, box.right, innerWidth), half(box.top, box.bottom, innerHeight)];
};
const before = middle();
requestAnimationFrame(() => setTimeout(() => {
  const at = middle();
  if (!at || at.some((v, k) => v !== before[k])) return done(null);
  const met = document.elementFromPoint(...at);
  const under = target.contains(met) ? null : (met?.outerHTML ?? "nothing").slice(0, 120);
  const thumb = (window.thumb = { missed: false });
  const guard = (ev) => {
    const meets = () => !target.isConnected || target.contains(document.elementFromPoint(...at));
    if (ev.type === "touchend" ? meets() : target.contains(ev.target)) return;
    thumb.missed = true;
    ev.preventDefault();
    ev.stopImmediatePropagation();
  };
  const kinds = ["pointerdown", "touchstart", "touchend"];
  for (const kind of kinds) addEventListener(kind, guard, { capture: true, passive: false });
  thumb.lift = () => { for (const kind of kinds) removeEventListener(kind, guard, true); };
  done({ at, under });
}));
"#;

/// What was tapped has been drawn; whether the thumb met it. On a page that was loaded anew it did.
const SETTLED: &str = r"
const done = arguments[arguments.length - 1];
requestAnimationFrame(() => setTimeout(() => {
  window.thumb?.lift();
  done(!window.thumb?.missed);
}));
";

#[derive(Debug, Deserialize)]
struct Place {
    at: [f64; 2],
    under: Option<String>,
}

impl Page {
    /// Taps something, wherever on the page it is. It must not lie under anything.
    pub(crate) async fn tap(&self, id: &str) -> WebDriverResult<()> {
        self.until(&format!("{id} is met"), async || self.met_by_thumb(id).await).await?;
        self.count_tap();
        Ok(())
    }

    /// Scrolls to something, so that it stands in the middle or at the start of the screen, and finds where a
    /// thumb meets it.
    async fn place_of(&self, id: &str, stands: &str) -> WebDriverResult<Place> {
        let there = format!("{TARGET}{PLACE}");
        let ask = async || self.run_async_with(&there, vec![json!(id), json!(stands)]).await;
        self.until(&format!("{id} can be tapped"), ask).await
    }

    /// Lays a thumb on something and lifts it; none if the page moved away under it.
    async fn met_by_thumb(&self, id: &str) -> WebDriverResult<Option<()>> {
        let mut place = self.place_of(id, "center").await?;
        if place.under.is_some() {
            // On a low screen the whole answer, a moment after the last tap, lies over the middle too: who
            // sees that scrolls further.
            self.run_async::<bool>(SETTLED).await?;
            place = self.place_of(id, "start").await?;
        }
        if let Some(over) = place.under {
            let picture = self.picture_of_failure().await?;
            panic!("{id} lies under {over} (see artefacts/{picture}.png)");
        }
        finger(&self.driver, Some(place.at)).await?;
        finger(&self.driver, None).await?;
        Ok((self.run_async::<bool>(SETTLED).await? == Some(true)).then_some(()))
    }

    /// Waits until there is something to tap: the thing itself, or the label that stands for it.
    pub(crate) async fn see_target(&self, id: &str) -> WebDriverResult<()> {
        let there = format!("{TARGET}return target ? true : null;");
        let ask = async || self.run::<bool>(&there, vec![json!(id)]).await;
        self.until(&format!("{id} can be tapped"), ask).await.map(drop)
    }
}
