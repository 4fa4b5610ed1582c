//! How requests go to a store: the library's client, with its retries, from threads that wait for the answer.

use std::fmt;
use std::future::Future;
use std::sync::{Arc, OnceLock};
use std::time::Duration;

use bytes::Bytes;
use object_store::aws::AmazonS3Builder;
use object_store::azure::MicrosoftAzureBuilder;
use object_store::gcp::GoogleCloudStorageBuilder;
use object_store::path::Path;
use object_store::{BackoffConfig, Error, ObjectStore, RetryConfig};
use scrim_tables::StoreError;
use tokio::runtime::{Builder, Runtime};

use crate::{Address, Scheme};

/// How often a request is sent that the library does not send again.
const TRIES: u32 = 4;
/// Before the first time that a request is sent again; twice as long before each next.
const FIRST_PAUSE: Duration = Duration::from_millis(250);

/// A bucket, below a name. Cheap to copy.
#[derive(Clone)]
pub(crate) struct Client {
    store: Arc<dyn ObjectStore>,
    address: Address,
    runtime: Arc<Runtime>,
}

impl Client {
    /// The client of an address. What it needs (region, endpoint, keys) it takes from the environment, by the names that the stores'
    /// own tools use; nothing is sent yet.
    pub(crate) fn new(address: &Address) -> Result<Self, StoreError> {
        install_tls();
        check_endpoints().map_err(|source| StoreError::Remote {
            place: address.to_string(),
            action: "be reached",
            source: source.into(),
        })?;
        let url = format!("{}://{}", address.scheme.as_str(), address.bucket);
        let store = match address.scheme {
            Scheme::S3 => AmazonS3Builder::from_env()
                .with_retry(retry())
                .with_url(url)
                .build()
                .map(|store| Arc::new(store) as Arc<dyn ObjectStore>),
            Scheme::Gs => GoogleCloudStorageBuilder::from_env()
                .with_retry(retry())
                .with_url(url)
                .build()
                .map(|store| Arc::new(store) as Arc<dyn ObjectStore>),
            Scheme::Az => MicrosoftAzureBuilder::from_env()
                .with_retry(retry())
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

    /// Waits for the answer to what does no harm when it is done twice, but the library sends only once (a removal, a conditional
    /// put): sends it again when none comes.
    pub(crate) fn wait_again<T, F>(&self, send: impl Fn() -> F) -> Result<T, Error>
    where
        F: Future<Output = Result<T, Error>>,
    {
        let mut tries = 1;
        loop {
            match self.wait(send()) {
                Err(Error::Generic { .. }) if tries < TRIES => {
                    std::thread::sleep(FIRST_PAUSE * (1 << (tries - 1)));
                    tries += 1;
                }
                answer => return answer,
            }
        }
    }

    /// What a store's error is for the caller.
    pub(crate) fn failed(&self, name: &str, action: &'static str, error: Error) -> StoreError {
        let mut said = one_line(&error);
        if said.contains(METADATA_HOST) {
            said.insert_str(0, "no keys in the environment (AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY of S3), and this machine has no identity of its own: ");
        }
        StoreError::Remote {
            place: self.address.below(name),
            action,
            source: said.into(),
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

/// What an error says: stores answer in documents of many lines.
pub(crate) fn one_line(error: &Error) -> String {
    error.to_string().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// How a request is sent again: over an outage of seconds, and for less time than a lock may go without renewal.
fn retry() -> RetryConfig {
    RetryConfig {
        backoff: BackoffConfig {
            init_backoff: FIRST_PAUSE,
            max_backoff: Duration::from_secs(8),
            base: 2.0,
        },
        max_retries: 12,
        retry_timeout: Duration::from_secs(45),
    }
}

/// Where a machine of a cloud learns who it is, when the environment has no keys.
const METADATA_HOST: &str = "169.254.169.254";

/// Variables that name another place than the store's own.
const ENDPOINTS: [&str; 5] = [
    "AWS_ENDPOINT",
    "AWS_ENDPOINT_URL",
    "AWS_ENDPOINT_URL_S3",
    "AZURE_STORAGE_ENDPOINT",
    "AZURE_ENDPOINT",
];

/// Refuses an endpoint that is none, before the library does so in its own way.
fn check_endpoints() -> Result<(), String> {
    for name in ENDPOINTS {
        let Ok(endpoint) = std::env::var(name) else {
            continue;
        };
        let rest = endpoint
            .strip_prefix("https://")
            .or_else(|| endpoint.strip_prefix("http://"));
        let host = rest.and_then(|rest| rest.split('/').next()).unwrap_or_default();
        if host.is_empty() || host.contains(char::is_whitespace) {
            return Err(format!(
                "{name}={endpoint}: is no endpoint; expected https://HOST or http://HOST:PORT"
            ));
        }
        let allows = |name: &str| std::env::var(name).is_ok_and(|value| value.eq_ignore_ascii_case("true"));
        if endpoint.starts_with("http://") && !allows("AWS_ALLOW_HTTP") && !allows("AZURE_ALLOW_HTTP") {
            return Err(format!(
                "{name}={endpoint}: has no TLS; set AWS_ALLOW_HTTP=true (AZURE_ALLOW_HTTP=true) if that is meant"
            ));
        }
    }
    Ok(())
}

/// One provider of TLS for the process, installed once.
fn install_tls() {
    static INSTALLED: OnceLock<()> = OnceLock::new();
    INSTALLED.get_or_init(|| {
        // It is an error when another is installed already: then that one serves.
        let _ = rustls::crypto::ring::default_provider().install_default();
    });
}
