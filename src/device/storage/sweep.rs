//! Clears out what is kept under names made of contents and is named nowhere any more.

use super::StorageProblem;
use super::bulk::{begin, committed, keys_in, values_in};
use super::key::{Key, Store};
use idb::{Error, Transaction, TransactionMode};
use js_sys::Uint8Array;
use std::collections::HashSet;
use wasm_bindgen::{JsCast, JsValue};

/// Things that are read in one go, so that not all of them are in memory at once.
const AT_ONCE: usize = 100;
/// Shelves of things that go by names.
const NAMED: [Store; 3] = [Store::State, Store::Mesh, Store::Picture];

/// What came of clearing out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Swept {
    /// So many things are gone, and so many bytes with them.
    Gone(usize, usize),
    /// Nothing was touched: so many texts cannot be read, and may name anything.
    Unreadable(usize),
}

/// Clears out, in one step that no other window can come between. `strike` takes the names that a text
/// speaks of out of a list of names; false when it cannot be read. `in_memory` are texts beside those
/// in the store.
pub(crate) async fn sweep(
    in_memory: &[String],
    strike: impl Fn(&str, &mut HashSet<String>) -> bool,
) -> Result<Swept, StorageProblem> {
    let transaction = begin(&Store::ALL, TransactionMode::ReadWrite).await?;
    let swept = sweep_in(&transaction, in_memory, strike).await;
    committed(transaction, swept).await
}

async fn sweep_in(
    transaction: &Transaction,
    in_memory: &[String],
    strike: impl Fn(&str, &mut HashSet<String>) -> bool,
) -> Result<Swept, Error> {
    let mut named = Vec::new();
    for store in NAMED {
        named.extend(keys_in(transaction, store).await?);
    }
    let name_of = |key: &Key| key.words.first().cloned().unwrap_or_default();
    let mut idle: HashSet<String> = named.iter().map(name_of).collect();
    for text in in_memory {
        // What is in memory was read, or was written here.
        strike(text, &mut idle);
    }
    let mut unreadable = keys_in(transaction, Store::Apart).await?.len();
    for store in [Store::Record, Store::Session] {
        let keys = keys_in(transaction, store).await?;
        unreadable += strike_all(transaction, &keys, &strike, &mut idle).await?;
    }
    // A mesh that only a boat as it was names goes with it.
    let states = named.iter().filter(|key| key.store == Store::State).cloned();
    let (goes, stays): (Vec<_>, Vec<_>) = states.partition(|key| idle.contains(&name_of(key)));
    unreadable += strike_all(transaction, &stays, &strike, &mut idle).await?;
    unreadable += strike_all(transaction, &goes, &strike, &mut HashSet::new()).await?;
    if unreadable > 0 {
        return Ok(Swept::Unreadable(unreadable));
    }
    named.retain(|key| idle.contains(&name_of(key)));
    let mut bytes = 0;
    for some in named.chunks(AT_ONCE) {
        let values = values_in(transaction, some).await?;
        bytes += values.iter().flatten().map(size).sum::<usize>();
        for key in some {
            transaction.object_store(key.store.name())?.delete(key.value())?;
        }
    }
    Ok(Swept::Gone(named.len(), bytes))
}

/// Strikes out what some texts name; how many of them cannot be read.
async fn strike_all(
    transaction: &Transaction,
    keys: &[Key],
    strike: impl Fn(&str, &mut HashSet<String>) -> bool,
    idle: &mut HashSet<String>,
) -> Result<usize, Error> {
    let mut unreadable = 0;
    for some in keys.chunks(AT_ONCE) {
        for value in values_in(transaction, some).await?.into_iter().flatten() {
            let read = value.as_string().is_some_and(|text| strike(&text, idle));
            unreadable += usize::from(!read);
        }
    }
    Ok(unreadable)
}

fn size(value: &JsValue) -> usize {
    let bytes = value.dyn_ref::<Uint8Array>().map(|b| b.length() as usize);
    bytes.or_else(|| value.as_string().map(|text| text.len())).unwrap_or_default()
}
