//! How much packed bytes may unpack to.

use std::io::{self, Read};

use flate2::read::MultiGzDecoder;
use parquet::basic::Compression;
use parquet::errors::ParquetError;

use super::thrift::bad;
use crate::limits::{LZ4_UNPACKS, MAX_BATCH_BYTES, SLACK_BYTES, ZSTD_UNPACKS};

/// Three bytes of Snappy stand for at most 64 (format description, 2.2.2).
const SNAPPY_UNPACKS: u64 = 64;
/// DEFLATE's longest match is 258 bytes, and takes two bits at least (RFC 1951, 3.2.5).
const GZIP_UNPACKS: u64 = 1032;
/// What an LZ4 frame begins with, and one of the format before it (LZ4 frame format, "General Structure" and "Legacy frame").
const LZ4_FRAMES: [[u8; 4]; 2] = [[0x04, 0x22, 0x4d, 0x18], [0x02, 0x21, 0x4c, 0x18]];

/// The most that a page of `packed` bytes may claim to unpack to.
pub(super) fn most_of_page(codec: Compression, packed: u64) -> u64 {
    packed
        .saturating_mul(unpacks(codec))
        .saturating_add(SLACK_BYTES)
        .min(MAX_BATCH_BYTES)
}

fn unpacks(codec: Compression) -> u64 {
    match codec {
        Compression::UNCOMPRESSED => 1,
        Compression::SNAPPY => SNAPPY_UNPACKS,
        Compression::GZIP(_) => GZIP_UNPACKS,
        Compression::LZ4 | Compression::LZ4_RAW => LZ4_UNPACKS,
        _ => ZSTD_UNPACKS,
    }
}

/// Whether `body`, of `packed` bytes, unpacks to no more than the `claimed` bytes.
///
/// The library unpacks GZIP, and frames of LZ4 in place of blocks, for as long as something comes. What so few bytes unpack to that it
/// can be held is not looked at here: the library compares it with the claim. More of GZIP is unpacked into nothing. Frames of LZ4 were
/// written years ago, by mistake, and not in large pages.
pub(super) fn check_body<R: Read>(
    codec: Compression,
    packed: u64,
    claimed: u64,
    body: impl FnOnce() -> Result<R, ParquetError>,
) -> Result<(), ParquetError> {
    let goes_on = matches!(codec, Compression::GZIP(_) | Compression::LZ4);
    if !goes_on || packed.saturating_mul(unpacks(codec)) <= MAX_BATCH_BYTES {
        return Ok(());
    }
    let mut body = body()?.take(packed);
    if codec == Compression::LZ4 {
        let mut begin = [0; 4];
        body.read_exact(&mut begin)?;
        return if LZ4_FRAMES.contains(&begin) {
            Err(bad(format!(
                "a page of {packed} bytes is an LZ4 frame, which may unpack to more than the {claimed} bytes that it claims; \
                 write it with LZ4_RAW or ZSTD"
            )))
        } else {
            Ok(())
        };
    }
    let mut unpacked = MultiGzDecoder::new(body).take(claimed + 1);
    // Bytes that do not unpack are the library's to refuse, which ends where this does.
    match io::copy(&mut unpacked, &mut io::sink()) {
        Ok(length) if length > claimed => Err(bad(format!(
            "a page of {packed} bytes claims to unpack to {claimed}, and there are more"
        ))),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use flate2::Compression as Level;
    use flate2::write::GzEncoder;
    use parquet::basic::GzipLevel;

    use super::*;

    fn check(codec: Compression, bytes: Vec<u8>, claimed: u64) -> Result<(), String> {
        let packed = bytes.len() as u64;
        check_body(codec, packed, claimed, || Ok(io::Cursor::new(bytes))).map_err(|error| error.to_string())
    }

    /// A page that is so long that it could unpack to more than can be held: 1.5 MB that cannot be packed.
    #[test]
    fn gzip_that_unpacks_to_more_than_it_claims_is_refused() {
        let mut state = 1_u32;
        let bytes: Vec<u8> = std::iter::repeat_with(|| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 24) as u8
        })
        .take(1_500_000)
        .collect();
        let mut packed = GzEncoder::new(Vec::new(), Level::fast());
        packed.write_all(&bytes).unwrap();
        let packed = packed.finish().unwrap();
        let gzip = Compression::GZIP(GzipLevel::default());
        assert_eq!(check(gzip, packed.clone(), 1_500_000), Ok(()));
        assert!(
            check(gzip, packed, 1_499_999)
                .unwrap_err()
                .contains("claims to unpack to 1499999, and there are more")
        );
    }

    #[test]
    fn a_large_page_that_is_an_lz4_frame_is_refused() {
        let page = |begin: [u8; 4]| [begin.to_vec(), vec![0; 5_000_000]].concat();
        for begin in LZ4_FRAMES {
            let refusal = check(Compression::LZ4, page(begin), 40).unwrap_err();
            assert!(refusal.contains("LZ4 frame"), "{refusal}");
        }
        assert_eq!(check(Compression::LZ4, page([0; 4]), 40), Ok(()));
        // LZ4_RAW and Zstandard stop at the claim by themselves.
        assert_eq!(check(Compression::LZ4_RAW, page(LZ4_FRAMES[0]), 40), Ok(()));
    }
}
