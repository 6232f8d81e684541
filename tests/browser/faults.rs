//! A store that fails: a layer before the browser's own, which counts the calls to it and lets chosen
//! ones fail.

use crate::driver::on_load;
use crate::page::Page;
use serde_json::json;
use thirtyfour::prelude::*;

/// Stands before the browser's stores. A call is named by its function and, in the database, its
/// shelf: `get session`, `put record`, `transaction`, `open`, `setItem`. One that is armed before a
/// start (in the window's own store, which is not counted) is armed from the first call on.
const LAYER: &str = r#"
(() => {
  const faults = { calls: 0, at: 0, times: 1, of: [], late: false, failed: [] };
  window.faults = faults;
  const armed = sessionStorage.getItem("faults");
  if (armed) Object.assign(faults, JSON.parse(armed));
  sessionStorage.removeItem("faults");
  const fails = (name) => {
    const counts = faults.of.length === 0
      || faults.of.some((of) => name === of || name.startsWith(`${of} `));
    if (!counts) return false;
    faults.calls += 1;
    const now = faults.at > 0 && faults.calls >= faults.at && faults.calls < faults.at + faults.times;
    if (now) faults.failed.push(name);
    return now;
  };
  const wrap = (kind, functions) => {
    for (const f of functions) {
      const real = kind[f];
      kind[f] = function (...given) {
        if (this === sessionStorage) return real.apply(this, given);
        const shelf = this instanceof IDBObjectStore ? ` ${this.name}` : "";
        if (!fails(f + shelf)) return real.apply(this, given);
        if (faults.late && this instanceof IDBObjectStore) {
          // The call is taken, and fails when it is answered.
          const request = real.apply(this, given);
          this.transaction.abort();
          return request;
        }
        throw new DOMException("made to fail", "UnknownError");
      };
    }
  };
  wrap(IDBObjectStore.prototype, ["get", "getAll", "getAllKeys", "put", "delete"]);
  wrap(IDBDatabase.prototype, ["transaction"]);
  wrap(IDBFactory.prototype, ["open"]);
  wrap(Storage.prototype, ["getItem", "setItem"]);
})();
"#;

/// Which calls fail.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Faults<'a> {
    /// The first one, counted from 1.
    pub(crate) at: u32,
    /// How many in a row.
    pub(crate) times: u32,
    /// The calls that count, by function or by function and shelf; all if there are none.
    pub(crate) of: &'a [&'a str],
    /// They fail when they are answered, not when they are made.
    pub(crate) late: bool,
}

impl<'a> Faults<'a> {
    /// All calls of some kinds, from now on.
    pub(crate) fn all(of: &'a [&'a str]) -> Self {
        Self { at: 1, times: u32::MAX, of, late: false }
    }

    /// One call, whichever it is.
    pub(crate) fn one(at: u32) -> Self {
        Self { at, times: 1, of: &[], late: false }
    }

    fn to_script(self) -> String {
        let Self { at, times, of, late } = self;
        json!({ "calls": 0, "at": at, "times": times, "of": of, "late": late }).to_string()
    }
}

impl Page {
    /// Puts the layer before the stores, from the next load of the page on.
    pub(crate) async fn lay_faults(&self) -> WebDriverResult<()> {
        on_load(&self.driver, LAYER).await
    }

    /// Lets calls fail from now on.
    pub(crate) async fn let_fail(&self, faults: Faults<'_>) -> WebDriverResult<()> {
        let arm = format!(
            "Object.assign(window.faults, {}, {{ failed: [] }}); return null;",
            faults.to_script()
        );
        self.run::<()>(&arm, vec![]).await.map(drop)
    }

    /// Lets calls fail from the next start of the app on.
    pub(crate) async fn let_fail_at_start(&self, faults: Faults<'_>) -> WebDriverResult<()> {
        let arm = "sessionStorage.setItem('faults', arguments[0]); return null;";
        self.run::<()>(arm, vec![json!(faults.to_script())]).await.map(drop)
    }

    /// Lets nothing fail any more; what has failed since it was let fail.
    pub(crate) async fn mend(&self) -> WebDriverResult<Vec<String>> {
        let mend = "window.faults.at = 0; return window.faults.failed;";
        Ok(self.run(mend, vec![]).await?.unwrap_or_default())
    }
}
