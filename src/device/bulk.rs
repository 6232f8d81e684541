//! What is too large for the small store: bytes under names, in the browser's database.

use super::storage::StorageProblem;
use idb::builder::{DatabaseBuilder, ObjectStoreBuilder};
use idb::{Database, Error, TransactionMode};
use js_sys::Uint8Array;
use wasm_bindgen::JsValue;

const DATABASE: &str = "trimwright";
const STORE: &str = "mesh";

/// The bytes kept under a name, if there are any.
pub(crate) async fn load(name: &str) -> Result<Option<Vec<u8>>, StorageProblem> {
    read(name).await.map_err(|_closed| StorageProblem::Closed)
}

/// Keeps bytes under a name; returns when they are written.
pub(crate) async fn save(name: &str, bytes: &[u8]) -> Result<(), StorageProblem> {
    write(name, bytes).await.map_err(|_refused| StorageProblem::Full)
}

async fn open() -> Result<Database, Error> {
    let store = ObjectStoreBuilder::new(STORE);
    DatabaseBuilder::new(DATABASE).version(1).add_object_store(store).build().await
}

async fn read(name: &str) -> Result<Option<Vec<u8>>, Error> {
    let database = open().await?;
    let transaction = database.transaction(&[STORE], TransactionMode::ReadOnly)?;
    let value = transaction.object_store(STORE)?.get(JsValue::from(name))?.await?;
    transaction.await?;
    database.close();
    Ok(value.map(|bytes| Uint8Array::new(&bytes).to_vec()))
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
