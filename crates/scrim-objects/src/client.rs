//! How a store is asked: the library's client, with its retries, from threads that wait for the answer.

use std::fmt;
use std::future::Future;
use std::sync::{Arc, OnceLock};

use bytes::Bytes;
use object_store::aws::AmazonS3Builder;
use object_store::azure::MicrosoftAzureBuilder;
use object_store::gcp::GoogleCloudStorageBuilder;
use object_store::path::Path;
use object_store::{Error, ObjectStore};
use scrim_tables::StoreError;
use tokio::runtime::{Builder, Runtime};

use crate::{Address, Scheme};

/// How often is asked what the library does not ask again.
const TRIES: u32 = 4;

/// A bucket, below a name. Cheap to copy.
#[derive(Clone)]
pub(crate) struct Client {
    store: Arc<dyn ObjectStore>,
    address: Address,
    runtime: Arc<Runtime>,
}

impl Client {
    /// The client of an address. What it needs (region, endpoint, keys) it takes from the environment, by the names that the stores'
    /// own tools use; nothing is asked yet.
    pub(crate) fn new(address: &Address) -> Result<Self, StoreError> {
        install_tls();
        let url = format!("{}://{}", address.scheme.as_str(), address.bucket);
        let store = match address.scheme {
            Scheme::S3 => AmazonS3Builder::from_env()
                .with_url(url)
                .build()
                .map(|store| Arc::new(store) as Arc<dyn ObjectStore>),
            Scheme::Gs => GoogleCloudStorageBuilder::from_env()
                .with_url(url)
                .build()
                .map(|store| Arc::new(store) as Arc<dyn ObjectStore>),
            Scheme::Az => MicrosoftAzureBuilder::from_env()
                .with_url(url)
                .build()
                .map(|store| Arc::new(store) as Arc<dyn ObjectStore>),
        };
        let failed = |source: Box<dyn std::error::Error + Send + Sync>| StoreError::Remote {
            place: address.to_string(),
            action: "be reached",
            source,
        };
        let store = store.map_err(|error| failed(error.into()))?;
        Self::of(store, address).map_err(|error| failed(error.into()))
    }

    /// The client of a store that is there.
    pub(crate) fn of(store: Arc<dyn ObjectStore>, address: &Address) -> std::io::Result<Self> {
        // One thread carries all requests: the workers wait, and what they wait for is the network.
        let runtime = Builder::new_multi_thread()
            .worker_threads(1)
            .thread_name("objects")
            .enable_all()
            .build()?;
        Ok(Self {
            store,
            address: address.clone(),
            runtime: Arc::new(runtime),
        })
    }

    /// The same store, below another name of the same bucket.
    pub(crate) fn with_address(&self, address: &Address) -> Self {
        Self {
            address: address.clone(),
            ..self.clone()
        }
    }

    pub(crate) fn address(&self) -> &Address {
        &self.address
    }

    pub(crate) fn store(&self) -> &dyn ObjectStore {
        self.store.as_ref()
    }

    /// The path of a name below the address.
    pub(crate) fn path(&self, name: &str) -> Result<Path, StoreError> {
        let key = match (self.address.key.as_str(), name) {
            (key, "") => key.to_owned(),
            ("", name) => name.to_owned(),
            (key, name) => format!("{key}/{name}"),
        };
        Path::parse(key).map_err(|error| self.failed(name, "be named", error.into()))
    }

    /// Waits for an answer.
    pub(crate) fn wait<T>(&self, answer: impl Future<Output = T>) -> T {
        self.runtime.block_on(answer)
    }

    /// Waits for the answer to what does no harm when it is done twice, but the library asks for only once (a removal, a conditional
    /// put): asks again when none comes.
    pub(crate) fn wait_again<T, F>(&self, ask: impl Fn() -> F) -> Result<T, Error>
    where
        F: Future<Output = Result<T, Error>>,
    {
        let mut tries = 1;
        loop {
            match self.wait(ask()) {
                Err(Error::Generic { .. }) if tries < TRIES => tries += 1,
                answer => return answer,
            }
        }
    }

    /// What a store's error is for whoever asked.
    pub(crate) fn failed(&self, name: &str, action: &'static str, error: Error) -> StoreError {
        // Stores answer in documents of many lines.
        let said = error.to_string();
        StoreError::Remote {
            place: self.address.below(name),
            action,
            source: said.split_whitespace().collect::<Vec<_>>().join(" ").into(),
        }
    }

    /// `None` for what is not there.
    pub(crate) fn if_there<T>(
        &self,
        result: Result<T, Error>,
        name: &str,
        action: &'static str,
    ) -> Result<Option<T>, StoreError> {
        match result {
            Ok(found) => Ok(Some(found)),
            Err(Error::NotFound { .. }) => Ok(None),
            Err(error) => Err(self.failed(name, action, error)),
        }
    }

    /// An object whole.
    pub(crate) fn get(&self, name: &str) -> Result<Option<Bytes>, StoreError> {
        let path = self.path(name)?;
        let result = self.wait(async {
            let found = self.store.get_opts(&path, Default::default()).await?;
            found.bytes().await
        });
        self.if_there(result, name, "be read")
    }
}

impl fmt::Debug for Client {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Client({})", self.address)
    }
}

/// One provider of TLS for the process, installed once.
fn install_tls() {
    static INSTALLED: OnceLock<()> = OnceLock::new();
    INSTALLED.get_or_init(|| {
        // It is an error when another is installed already: then that one serves.
        let _ = rustls::crypto::ring::default_provider().install_default();
    });
}
