//! What every file says of the run that made it.

use sha2::{Digest, Sha256};

/// Version of the contract's columns. A rename raises it; an added column does not.
pub const SCHEMA_VERSION: &str = "1";

/// What made a table: written into every file's key-value metadata. Holds nothing that differs between two runs
/// over the same input (no time, host or path), so that the same input gives the same bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunInfo {
    /// The pipeline's name.
    pub pipeline: String,
    /// All parameters, defaults included, as TOML.
    pub parameters_toml: String,
    /// The program's version.
    pub version: String,
}

impl RunInfo {
    /// The parameters' SHA-256, lower-case hexadecimal.
    pub fn parameters_sha256(&self) -> String {
        Sha256::digest(self.parameters_toml.as_bytes())
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect()
    }

    /// Keys and values, in writing order.
    pub fn key_values(&self) -> Vec<(&'static str, String)> {
        vec![
            ("schema_version", SCHEMA_VERSION.into()),
            ("pipeline", self.pipeline.clone()),
            ("parameters", self.parameters_toml.clone()),
            ("parameters_sha256", self.parameters_sha256()),
            ("version", self.version.clone()),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_sha_256_of_the_parameters() {
        // FIPS 180-2, appendix B.1: SHA-256 of "abc".
        let info = RunInfo {
            pipeline: "p".into(),
            parameters_toml: "abc".into(),
            version: "0".into(),
        };
        assert_eq!(
            info.parameters_sha256(),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }
}
