//! The browser's database: texts and bytes under keys.

use super::StorageProblem;
use super::key::{Key, Store};
use crate::device::clock::Turns;
use idb::builder::{DatabaseBuilder, ObjectStoreBuilder};
use idb::{Database, Error, Factory, Transaction, TransactionMode};
use js_sys::{Array, Function, Object, Reflect, Uint8Array};
use std::cell::RefCell;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{IdbDatabase, IdbTransaction};

const DATABASE: &str = "trimwright";
/// 1 had meshes only.
const VERSION: u32 = 2;
/// Changes that are written in one go.
const LOT: usize = 32;

/// One thing to write.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum StoreWrite {
    /// A text; none removes it. What comes to stand there is decided when it is known what
    /// stands there now.
    Text(Key, Option<String>),
    /// Bytes under a name made of them: what is there already is the same.
    Bytes(Key, Vec<u8>),
}

impl StoreWrite {
    /// Where it is.
    pub(crate) fn key(&self) -> &Key {
        match self {
            Self::Text(key, _) | Self::Bytes(key, _) => key,
        }
    }

    /// How many bytes it is, near enough: what the browser itself adds is not known.
    pub(crate) fn size(&self) -> usize {
        match self {
            Self::Text(_, text) => text.as_ref().map_or(0, String::len),
            Self::Bytes(_, bytes) => bytes.len(),
        }
    }
}

/// What comes to stand where a text is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ResolvedText {
    /// The text; none for nothing.
    pub(crate) text: Option<String>,
    /// What stood there and has to be put aside.
    pub(crate) aside: Option<String>,
}

/// Writes all the changes or none of them, in one step that no other window can come between.
/// `settle` is given each text's key, what stands there now and what is to be written, and says what
/// comes to stand there. What cannot be read is put aside in the same step. Returns, once all is on the phone's own memory, what was settled.
pub(crate) async fn write(
    changes: &[StoreWrite],
    settle: impl Fn(&Key, Option<&str>, Option<&str>) -> ResolvedText,
) -> Result<Vec<(Key, Option<String>)>, StorageProblem> {
    if changes.is_empty() {
        return Ok(Vec::new());
    }
    let is_written = |store: &Store| changes.iter().any(|c| c.key().store == *store);
    let stores = Store::ALL.into_iter().filter(|s| *s == Store::Apart || is_written(s));
    let transaction = begin(&stores.collect::<Vec<_>>(), TransactionMode::ReadWrite).await?;
    let settled = put_all(&transaction, changes, settle).await;
    committed(transaction, settled).await
}

/// What was done in a step, once all of it is on the phone's own memory; if a part of it failed none of
/// it is done.
pub(super) async fn committed<T>(
    transaction: Transaction,
    done: Result<T, Error>,
) -> Result<T, StorageProblem> {
    let done = match done {
        Ok(done) => done,
        Err(why) => {
            let problem = problem(&why, &transaction);
            // One that failed is undone by the browser itself if not by this.
            let _undone = transaction.abort();
            return Err(problem);
        }
    };
    let handle: IdbTransaction = transaction.into();
    let ended = Transaction::from(handle.clone()).await;
    // An error comes first and then the end of the transaction, of which nobody wants to hear any more:
    // the binding has let go of what listened, and the browser would call it all the same.
    handle.set_onerror(None);
    handle.set_onabort(None);
    handle.set_oncomplete(None);
    match ended {
        Ok(result) if result.is_committed() => Ok(done),
        Ok(_) => Err(problem_of_name(handle.error().map(|e| e.name()).as_deref())),
        Err(why) => Err(problem(&why, &handle.into())),
    }
}

async fn put_all(
    transaction: &Transaction,
    changes: &[StoreWrite],
    settle: impl Fn(&Key, Option<&str>, Option<&str>) -> ResolvedText,
) -> Result<Vec<(Key, Option<String>)>, Error> {
    let mut settled = Vec::with_capacity(changes.len());
    // Between two lots the screen has its turn while the database answers: for another pause the step would end.
    for lot in changes.chunks(LOT) {
        put_lot(transaction, lot, &settle, &mut settled).await?;
    }
    Ok(settled)
}

async fn put_lot(
    transaction: &Transaction,
    lot: &[StoreWrite],
    settle: impl Fn(&Key, Option<&str>, Option<&str>) -> ResolvedText,
    settled: &mut Vec<(Key, Option<String>)>,
) -> Result<(), Error> {
    // All questions are put before the first answer is waited for.
    let asked = lot.iter().map(|change| match change {
        StoreWrite::Bytes(..) => Ok(None),
        StoreWrite::Text(key, _) => {
            transaction.object_store(key.store.name())?.get(key.value()).map(Some)
        }
    });
    let asked: Vec<_> = asked.collect::<Result<_, Error>>()?;
    let mut there = Vec::with_capacity(lot.len());
    for request in asked {
        there.push(match request {
            Some(request) => request.await?.and_then(|value| value.as_string()),
            None => None,
        });
    }
    for (change, there) in lot.iter().zip(there) {
        let store = transaction.object_store(change.key().store.name())?;
        match change {
            StoreWrite::Bytes(key, bytes) => {
                store.put(&Uint8Array::from(bytes.as_slice()).into(), Some(&key.value()))?;
            }
            StoreWrite::Text(key, text) => {
                let ResolvedText { text: new, aside } =
                    settle(key, there.as_deref(), text.as_deref());
                if let Some(aside) = aside {
                    let place =
                        if Some(&aside) == text.as_ref() { key.waits() } else { key.apart() };
                    let shelf = transaction.object_store(Store::Apart.name())?;
                    shelf.put(&aside.into(), Some(&place.value()))?;
                }
                match &new {
                    Some(_) if new == there => {}
                    Some(text) => drop(store.put(&text.into(), Some(&key.value()))?),
                    None => drop(store.delete(key.value())?),
                }
                settled.push((key.clone(), new));
            }
        }
    }
    Ok(())
}

/// The keys on a shelf, in order.
pub(crate) async fn keys(store: Store) -> Result<Vec<Key>, StorageProblem> {
    let transaction = begin(&[store], TransactionMode::ReadOnly).await?;
    let found = all_keys(&transaction, store).await.map_err(|why| problem(&why, &transaction))?;
    let (mut keys, turns) = (Vec::with_capacity(found.len()), Turns::begin());
    for some in found.chunks(LOT) {
        keys.extend(some.iter().filter_map(|key| Key::of(store, key)));
        turns.rest().await;
    }
    Ok(keys)
}

async fn all_keys(transaction: &Transaction, store: Store) -> Result<Vec<JsValue>, Error> {
    transaction.object_store(store.name())?.get_all_keys(None, None)?.await
}

pub(super) async fn keys_in(transaction: &Transaction, store: Store) -> Result<Vec<Key>, Error> {
    let found = all_keys(transaction, store).await?;
    Ok(found.iter().filter_map(|key| Key::of(store, key)).collect())
}

/// The texts under keys, in their order; none where nothing is kept.
pub(crate) async fn load(wanted: &[Key]) -> Result<Vec<Option<String>>, StorageProblem> {
    let values = values(wanted).await?;
    Ok(values.into_iter().map(|value| value?.as_string()).collect())
}

/// As [`load`]; where they cannot be read together each is read by itself, so that one that is damaged
/// does not hide the others.
pub(crate) async fn load_each(wanted: &[Key]) -> Vec<Result<Option<String>, StorageProblem>> {
    if let Ok(texts) = load(wanted).await {
        return texts.into_iter().map(Ok).collect();
    }
    let mut found = Vec::with_capacity(wanted.len());
    for key in wanted {
        let text = load(std::slice::from_ref(key)).await;
        found.push(text.map(|mut texts| texts.pop().flatten()));
    }
    found
}

/// What is under keys, texts and bytes, to be written there again.
pub(crate) async fn copies(wanted: &[Key]) -> Result<Vec<StoreWrite>, StorageProblem> {
    let values = values(wanted).await?;
    let copy = |(key, value): (&Key, Option<JsValue>)| {
        let value = value?;
        Some(match value.as_string() {
            text @ Some(_) => StoreWrite::Text(key.clone(), text),
            None => StoreWrite::Bytes(key.clone(), value.dyn_ref::<Uint8Array>()?.to_vec()),
        })
    };
    Ok(wanted.iter().zip(values).filter_map(copy).collect())
}

/// The bytes under a key, if there are any.
pub(crate) async fn load_bytes(key: &Key) -> Result<Option<Vec<u8>>, StorageProblem> {
    let value = values(std::slice::from_ref(key)).await?.pop().flatten();
    Ok(value.and_then(|value| Some(value.dyn_ref::<Uint8Array>()?.to_vec())))
}

/// Every text on a shelf with its key, in order.
pub(crate) async fn load_all(store: Store) -> Result<Vec<(Key, String)>, StorageProblem> {
    let transaction = begin(&[store], TransactionMode::ReadOnly).await?;
    let ask = async || {
        let store = transaction.object_store(store.name())?;
        let (keys, values) = (store.get_all_keys(None, None)?, store.get_all(None, None)?);
        Ok::<_, Error>((keys.await?, values.await?))
    };
    let (keys, values) = ask().await.map_err(|why| problem(&why, &transaction))?;
    let pairs = keys.iter().zip(values);
    Ok(pairs.filter_map(|(k, v)| Some((Key::of(store, k)?, v.as_string()?))).collect())
}

async fn values(wanted: &[Key]) -> Result<Vec<Option<JsValue>>, StorageProblem> {
    if wanted.is_empty() {
        return Ok(Vec::new());
    }
    let is_wanted = |store: &Store| wanted.iter().any(|key| key.store == *store);
    let stores: Vec<Store> = Store::ALL.into_iter().filter(is_wanted).collect();
    let transaction = begin(&stores, TransactionMode::ReadOnly).await?;
    values_in(&transaction, wanted).await.map_err(|why| problem(&why, &transaction))
}

pub(super) async fn values_in(
    transaction: &Transaction,
    wanted: &[Key],
) -> Result<Vec<Option<JsValue>>, Error> {
    let asked = wanted
        .iter()
        .map(|key| transaction.object_store(key.store.name())?.get(key.value()))
        .collect::<Result<Vec<_>, Error>>()?;
    let mut found = Vec::with_capacity(asked.len());
    for request in asked {
        found.push(request.await?);
    }
    Ok(found)
}

thread_local! {
    // The connection stays open: opening costs more than a write.
    static OPEN: RefCell<Option<IdbDatabase>> = const { RefCell::new(None) };
}

pub(super) async fn begin(
    stores: &[Store],
    mode: TransactionMode,
) -> Result<Transaction, StorageProblem> {
    let kept = OPEN.with_borrow(Clone::clone);
    if let Some(database) = kept
        && let Ok(transaction) = begin_in(&database, stores, mode)
    {
        return Ok(transaction);
    }
    // Not opened yet, or the browser has closed it meanwhile.
    let database = open().await.map_err(|_closed| StorageProblem::Closed)?;
    OPEN.set(Some(database.clone()));
    begin_in(&database, stores, mode).map_err(|_refused| StorageProblem::Closed)
}

/// Called by name: the binding has no durability, without which a browser may confirm what is not
/// yet on disk.
fn begin_in(
    database: &IdbDatabase,
    stores: &[Store],
    mode: TransactionMode,
) -> Result<Transaction, JsValue> {
    let names: Array = stores.iter().map(|store| JsValue::from(store.name())).collect();
    let begin: Function = Reflect::get(database, &"transaction".into())?.dyn_into()?;
    let options = Object::new();
    Reflect::set(&options, &"durability".into(), &"strict".into())?;
    let mode = match mode {
        TransactionMode::ReadOnly => "readonly",
        _ => "readwrite",
    };
    let transaction = begin.call3(database, &names, &mode.into(), &options)?;
    Ok(transaction.dyn_into::<IdbTransaction>()?.into())
}

async fn open() -> Result<IdbDatabase, Error> {
    let builder = DatabaseBuilder::new(DATABASE).version(VERSION);
    let with = |builder: DatabaseBuilder, store: Store| {
        builder.add_object_store(ObjectStoreBuilder::new(store.name()))
    };
    let mut database: Database = match Store::ALL.into_iter().fold(builder, with).build().await {
        // A later version of the app was here: what this one keeps has its shelves there too.
        Err(Error::DomException(why)) if why.name() == "VersionError" => {
            Factory::new()?.open(DATABASE, None)?.await?
        }
        opened => opened?,
    };
    // A later version of the app, in another window, must not wait for this one.
    database.on_version_change(|_| {
        if let Some(database) = OPEN.take() {
            database.close();
        }
    });
    // The callback lives as long as the connection.
    database.forget_callbacks();
    Ok(database.into())
}

fn problem(why: &Error, transaction: &Transaction) -> StorageProblem {
    let name = transaction.error().map(|e| e.name());
    let of_error = || match why {
        Error::DomException(e) => Some(e.name()),
        _ => None,
    };
    problem_of_name(name.or_else(of_error).as_deref())
}

fn problem_of_name(name: Option<&str>) -> StorageProblem {
    match name {
        Some("QuotaExceededError") => StorageProblem::Full,
        Some(other) => StorageProblem::Refused(other.to_owned()),
        None => StorageProblem::Refused("no reason given".to_owned()),
    }
}
