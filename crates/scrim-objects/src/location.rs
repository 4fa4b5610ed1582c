//! Where something is: a path here, or an address in an object store.

use std::fmt;
use std::path::PathBuf;
use std::str::FromStr;

/// A place that a user names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Location {
    /// A file or folder of this machine.
    Local(PathBuf),
    /// An object, or all below a name.
    Remote(Address),
}

/// A place in an object store.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Address {
    /// Which kind of store.
    pub scheme: Scheme,
    /// The bucket (container, in Azure's words).
    pub bucket: String,
    /// The name in it, without a `/` at either end; empty for all of the bucket.
    pub key: String,
}

/// A kind of object store.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scheme {
    /// Amazon S3, or another store that speaks its protocol.
    S3,
    /// Google Cloud Storage.
    Gs,
    /// Azure Blob Storage.
    Az,
}

impl Scheme {
    const ALL: [Self; 3] = [Self::S3, Self::Gs, Self::Az];

    /// As in an address.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::S3 => "s3",
            Self::Gs => "gs",
            Self::Az => "az",
        }
    }
}

/// What is no place.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum LocationError {
    /// A scheme that is not known.
    #[error(
        "unknown scheme `{scheme}`; give s3://BUCKET/FOLDER, gs://BUCKET/FOLDER, az://CONTAINER/FOLDER, file:///FOLDER or a path"
    )]
    UnknownScheme {
        /// What stands before the colon.
        scheme: String,
    },
    /// No bucket, or one that is none.
    #[error(
        "`{found}` is no bucket; expected {scheme}://BUCKET/FOLDER, with credentials in the environment and not in the address"
    )]
    NoBucket {
        /// The scheme.
        scheme: &'static str,
        /// What stands where the bucket should.
        found: String,
    },
    /// A name in the bucket that cannot be used.
    #[error(
        "`{found}` is no name in a bucket: it must have no empty, `.` or `..` part and no control character"
    )]
    NoKey {
        /// The name.
        found: String,
    },
    /// `file:` with a host.
    #[error("file:// takes a path of this machine, as file:///FOLDER; found the host `{host}`")]
    FileHost {
        /// What stands where the path should begin.
        host: String,
    },
}

impl FromStr for Location {
    type Err = LocationError;

    fn from_str(text: &str) -> Result<Self, LocationError> {
        let Some((scheme, rest)) = split_scheme(text) else {
            return Ok(Self::Local(text.into()));
        };
        if scheme.eq_ignore_ascii_case("file") {
            let path = rest.strip_prefix("//").unwrap_or(rest);
            return if path.starts_with('/') {
                Ok(Self::Local(path.into()))
            } else {
                let host = path.split('/').next().unwrap_or_default().into();
                Err(LocationError::FileHost { host })
            };
        }
        let known = Scheme::ALL
            .into_iter()
            .find(|known| scheme.eq_ignore_ascii_case(known.as_str()));
        let Some(scheme) = known else {
            return Err(LocationError::UnknownScheme {
                scheme: scheme.into(),
            });
        };
        let (bucket, key) = match rest.strip_prefix("//") {
            Some(rest) => rest.split_once('/').unwrap_or((rest, "")),
            None => ("", ""),
        };
        let is_plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_');
        if bucket.is_empty() || !bucket.chars().all(is_plain) {
            // What stands there may be a key and its secret.
            let found = bucket.rsplit('@').next().unwrap_or_default().into();
            return Err(LocationError::NoBucket {
                scheme: scheme.as_str(),
                found,
            });
        }
        let key = key.trim_end_matches('/');
        if !key.is_empty() && !key.split('/').all(is_name) {
            return Err(LocationError::NoKey { found: key.into() });
        }
        Ok(Self::Remote(Address {
            scheme,
            bucket: bucket.into(),
            key: key.into(),
        }))
    }
}

/// A scheme and what comes after its colon: letters (two at least: one is a drive), then `:/`.
fn split_scheme(text: &str) -> Option<(&str, &str)> {
    let (scheme, rest) = text.split_once(':')?;
    let is_scheme = scheme.len() > 1
        && scheme.starts_with(|c: char| c.is_ascii_alphabetic())
        && scheme
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || matches!(c, '+' | '-' | '.'));
    (is_scheme && rest.starts_with('/')).then_some((scheme, rest))
}

/// Whether one part of an object's name can be one part of a path.
pub(crate) fn is_name(part: &str) -> bool {
    !part.is_empty() && part != "." && part != ".." && !part.chars().any(char::is_control)
}

impl Location {
    /// The place that a path or an address names. A path that is no UTF-8 is a path.
    ///
    /// # Errors
    /// [`LocationError`].
    pub fn of(place: PathBuf) -> Result<Self, LocationError> {
        match place.to_str() {
            Some(text) => text.parse(),
            None => Ok(Self::Local(place)),
        }
    }

    /// The path, when it is one of this machine.
    pub fn local(&self) -> Option<&PathBuf> {
        match self {
            Self::Local(path) => Some(path),
            Self::Remote(_) => None,
        }
    }
}

impl Address {
    /// An address below this one.
    pub fn below(&self, name: &str) -> String {
        if name.is_empty() {
            self.to_string()
        } else {
            format!("{self}/{name}")
        }
    }

    /// Whether this is `other`, or lies below it.
    pub fn is_in(&self, other: &Self) -> bool {
        let rest = self.key.strip_prefix(&other.key);
        self.scheme == other.scheme
            && self.bucket == other.bucket
            && (other.key.is_empty() || rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('/')))
    }
}

impl fmt::Display for Location {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Local(path) => path.display().fmt(f),
            Self::Remote(address) => address.fmt(f),
        }
    }
}

impl fmt::Display for Address {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}://{}", self.scheme.as_str(), self.bucket)?;
        if !self.key.is_empty() {
            write!(f, "/{}", self.key)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(text: &str) -> Result<Location, LocationError> {
        text.parse()
    }

    #[test]
    fn paths_stay_paths() {
        for path in ["out", "./a b/c", "/x", "C:/tables", "a:b", "..", "s3", "2041:1/x"] {
            assert_eq!(place(path), Ok(Location::Local(path.into())), "{path}");
        }
        assert_eq!(place("file:///x/y"), Ok(Location::Local("/x/y".into())));
        assert_eq!(place("file:/x"), Ok(Location::Local("/x".into())));
    }

    #[test]
    fn addresses_are_taken_apart_and_put_together() {
        for (text, bucket, key, shown) in [
            ("s3://b", "b", "", "s3://b"),
            ("S3://b/", "b", "", "s3://b"),
            ("gs://b-1/x/y/", "b-1", "x/y", "gs://b-1/x/y"),
            (
                "az://c/season 2041~G%2F1",
                "c",
                "season 2041~G%2F1",
                "az://c/season 2041~G%2F1",
            ),
        ] {
            let Ok(Location::Remote(address)) = place(text) else {
                panic!("{text}");
            };
            assert_eq!((address.bucket.as_str(), address.key.as_str()), (bucket, key));
            assert_eq!(address.to_string(), shown);
        }
    }

    #[test]
    fn what_is_no_place_is_refused_and_no_secret_is_repeated() {
        for text in ["ftp://x/y", "http://x", "s4://b", "s3a:/b"] {
            assert!(
                matches!(place(text), Err(LocationError::UnknownScheme { .. })),
                "{text}"
            );
        }
        for text in [
            "s3:/b",
            "s3://",
            "s3:///x",
            "s3://KEY:SECRET@b/x",
            "s3://b ucket/x",
        ] {
            let error = place(text).unwrap_err();
            assert!(matches!(error, LocationError::NoBucket { .. }), "{text}");
            assert!(!error.to_string().contains("SECRET"));
        }
        for text in ["s3://b//x", "s3://b/x/../y", "gs://b/./x", "s3://b/x\ny"] {
            assert!(matches!(place(text), Err(LocationError::NoKey { .. })), "{text}");
        }
        assert!(matches!(
            place("file://host/x"),
            Err(LocationError::FileHost { .. })
        ));
    }

    #[test]
    fn one_lies_in_another_by_whole_parts() {
        let address = |text: &str| match place(text).unwrap() {
            Location::Remote(address) => address,
            Location::Local(_) => panic!("{text}"),
        };
        let input = address("s3://b/in");
        assert!(address("s3://b/in").is_in(&input));
        assert!(address("s3://b/in/x").is_in(&input));
        assert!(address("s3://b/x").is_in(&address("s3://b")));
        assert!(!address("s3://b/inner").is_in(&input));
        assert!(!address("s3://c/in/x").is_in(&input));
        assert!(!address("gs://b/in/x").is_in(&input));
    }
}
