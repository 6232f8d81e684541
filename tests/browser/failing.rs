//! The store fails at every n-th call: what is typed is not lost, and nothing is called kept that is not.

use crate::driver::{FOLDER, on_a_phone};
use crate::page::{Page, Seen};
use serde_json::json;
use thirtyfour::prelude::*;

/// Every n-th call fails from now on, until n is zero: one time it is refused, the next time what was
/// begun is taken back by the browser.
pub(crate) const FAULTS: &str = r#"
window.faults = { every: arguments[0] ?? 0, calls: 0, failed: 0 };
if (!window.faultless) {
  window.faultless = true;
  const fails = () => {
    const f = window.faults;
    f.calls += 1;
    const now = f.every > 0 && f.calls % f.every === 0;
    f.failed += now ? 1 : 0;
    return now;
  };
  const refuse = () => { throw new DOMException("a fault made by the test", "UnknownError"); };
  for (const name of ["get", "put", "delete", "getAll", "getAllKeys"]) {
    const plain = IDBObjectStore.prototype[name];
    IDBObjectStore.prototype[name] = function (...all) {
      if (!fails()) return plain.apply(this, all);
      if (window.faults.failed % 2) return refuse();
      const asked = plain.apply(this, all);
      this.transaction.abort();
      return asked;
    };
  }
  const begin = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (...all) {
    return fails() ? refuse() : begin.apply(this, all);
  };
}
return null;
"#;

/// What the page's faults came to: calls, and those of them that failed.
const FAILED: &str = "return window.faults.failed;";

impl Page {
    /// Lets every n-th call of the store fail; 0 ends it.
    pub(crate) async fn fail_every(&self, n: u32) -> WebDriverResult<()> {
        self.run::<()>(FAULTS, vec![json!(n)]).await.map(drop)
    }

    /// Ends it, and lets what failed be tried again at once: by itself that takes seconds.
    async fn works_again(&self) -> WebDriverResult<()> {
        self.fail_every(0).await?;
        // It may be gone already: pressed only if it is there.
        let again = "find('not-kept-again')?.click(); return null;";
        self.run::<()>(again, vec![]).await?;
        self.see_kept().await
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_typed_while_the_store_fails_is_kept_when_it_works_again() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-diary").await?;
        page.fill("note-text", "the first").await?;
        page.tap("note-add").await?;
        page.see_kept().await?;
        for n in [1, 2, 3, 5, 8] {
            page.fail_every(n).await?;
            page.tap("go-diary").await?;
            page.fill("note-text", &format!("note {n}")).await?;
            page.tap("note-add").await?;
            page.tap("session-now").await?;
            page.fill("session-place", &format!("pond {n}")).await?;
            page.tap("go-pool").await?;
            page.enter_mark("bow", Some(f64::from(n))).await?;
            page.tap("go-boat").await?;
            page.tap("part-1").await?;
            page.fill("form-mass", &format!("{}", 200 + n)).await?;
            page.finish().await?;
            let failed: Option<u32> = page.run(FAILED, vec![]).await?;
            assert!(failed > Some(0), "the store has failed at every {n}th call");
            if n == 1 {
                let says = |seen: &Seen| seen.attributes["data-kept"] == "failed";
                page.see_that("kept", "says that it is not kept", says).await?;
                page.see("not-kept").await?;
            }
            if n == 1 {
                // Nothing is typed any more: it is tried again by itself.
                page.fail_every(0).await?;
                page.see_kept().await?;
            } else {
                page.works_again().await?;
            }
            page.reload().await?;
            page.tap("go-pool").await?;
            assert_eq!(page.see("mark-bow-value").await?.value, n.to_string(), "the figure");
            page.tap("go-boat").await?;
            page.tap("part-1").await?;
            assert_eq!(page.see("form-mass").await?.value, (200 + n).to_string(), "the mass");
            page.finish().await?;
            let notes = page.notes().await?;
            assert_eq!(notes.last(), Some(&format!("note {n}")), "the note, once: {notes:?}");
            assert_eq!(page.see("session-place").await?.value, format!("pond {n}"), "the place");
        }
        let mut notes = page.notes().await?;
        notes.dedup();
        assert_eq!(notes.len(), 6, "each note once: {notes:?}");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn boats_that_are_made_and_taken_while_the_store_fails_are_there() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.see_kept().await?;
        for n in [2, 3, 5] {
            page.fail_every(n).await?;
            page.tap("go-pool").await?;
            page.enter_mark("bow", Some(f64::from(n))).await?;
            page.tap("go-boat").await?;
            page.tap("bench-boats").await?;
            page.tap("start-bench").await?;
            page.fill("form-name", &format!("Teal {n}")).await?;
            page.fill("form-length", "800").await?;
            page.fill("form-waterline", "60").await?;
            page.tap("boat-begin").await?;
            page.see_no("boat-begin").await?;
            page.tap("go-diary").await?;
            page.fill("note-text", &format!("of Teal {n}")).await?;
            page.works_again().await?;
            page.reload().await?;
            page.tap("go-diary").await?;
            assert_eq!(page.see("note-text").await?.value, format!("of Teal {n}"), "in hand");
            page.tap("go-boat").await?;
            page.tap("bench-boats").await?;
            page.tap("take-demo-dipper").await?;
            page.tap("go-pool").await?;
            assert_eq!(page.see("mark-bow-value").await?.value, n.to_string(), "of the other boat");
        }
        Ok(())
    })
    .await;
}
