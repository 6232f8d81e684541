//! What is too large for the small store: bytes under names, in the browser's database.

use super::storage::StorageProblem;
use idb::builder::{DatabaseBuilder, ObjectStoreBuilder};
use idb::{Database, Error, TransactionMode};
use js_sys::Uint8Array;
use wasm_bindgen::JsValue;

const DATABASE: &str = "trimwright";
const STORE: &str = "mesh";

/// All bytes that are kept, with their names.
pub(crate) async fn load_all() -> Result<Vec<(String, Vec<u8>)>, StorageProblem> {
    read_all().await.map_err(|_closed| StorageProblem::Closed)
}

/// Keeps bytes under a name; returns when they are written.
pub(crate) async fn save(name: &str, bytes: &[u8]) -> Result<(), StorageProblem> {
    write(name, bytes).await.map_err(|_refused| StorageProblem::Full)
}

/// Removes what is kept under a name. That it could not be removed does no harm but take room.
pub(crate) async fn remove(name: &str) {
    let _tried = delete(name).await;
}

async fn open() -> Result<Database, Error> {
    let store = ObjectStoreBuilder::new(STORE);
    DatabaseBuilder::new(DATABASE).version(1).add_object_store(store).build().await
}

async fn read_all() -> Result<Vec<(String, Vec<u8>)>, Error> {
    let database = open().await?;
    let transaction = database.transaction(&[STORE], TransactionMode::ReadOnly)?;
    let store = transaction.object_store(STORE)?;
    let names = store.get_all_keys(None, None)?.await?;
    let values = store.get_all(None, None)?.await?;
    transaction.await?;
    database.close();
    let pairs = names.into_iter().zip(values);
    Ok(pairs
        .filter_map(|(name, value)| Some((name.as_string()?, Uint8Array::new(&value).to_vec())))
        .collect())
}

async fn write(name: &str, bytes: &[u8]) -> Result<(), Error> {
    let database = open().await?;
    let transaction = database.transaction(&[STORE], TransactionMode::ReadWrite)?;
    let store = transaction.object_store(STORE)?;
    let value: JsValue = Uint8Array::from(bytes).into();
    store.put(&value, Some(&name.into()))?.await?;
    transaction.commit()?.await?;
    database.close();
    Ok(())
}

async fn delete(name: &str) -> Result<(), Error> {
    let database = open().await?;
    let transaction = database.transaction(&[STORE], TransactionMode::ReadWrite)?;
    transaction.object_store(STORE)?.delete(JsValue::from(name))?.await?;
    transaction.commit()?.await?;
    database.close();
    Ok(())
}
