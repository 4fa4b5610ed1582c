//! The small game in columnar files that are packed inside.

use arrow::ipc::CompressionType;
use arrow::ipc::writer::{FileWriter, IpcWriteOptions, StreamWriter};
use parquet::arrow::ArrowWriter;
use parquet::basic::Compression;
use parquet::file::properties::WriterProperties;

use crate::small_game::{Row, arrow_file, arrow_stream, batch, parquet};

pub fn packed_arrow(rows: &[Row], packing: CompressionType, is_file: bool) -> Vec<u8> {
    let batch = batch(rows);
    let options = IpcWriteOptions::default()
        .try_with_compression(Some(packing))
        .unwrap();
    let mut bytes = Vec::new();
    if is_file {
        let mut writer = FileWriter::try_new_with_options(&mut bytes, &batch.schema(), options).unwrap();
        writer.write(&batch).unwrap();
        writer.finish().unwrap();
    } else {
        let mut writer = StreamWriter::try_new_with_options(&mut bytes, &batch.schema(), options).unwrap();
        writer.write(&batch).unwrap();
        writer.finish().unwrap();
    }
    bytes
}

pub fn packed_parquet(rows: &[Row], packing: Compression) -> Vec<u8> {
    let batch = batch(rows);
    let properties = WriterProperties::builder().set_compression(packing).build();
    let mut writer = ArrowWriter::try_new(Vec::new(), batch.schema(), Some(properties)).unwrap();
    writer.write(&batch).unwrap();
    writer.into_inner().unwrap()
}

/// The same game in every columnar packing, by name: what damaged files are made from.
pub fn columnar_files(rows: &[Row]) -> Vec<(&'static str, Vec<u8>)> {
    let zstd = parquet::basic::ZstdLevel::try_new(1).unwrap();
    vec![
        ("plain.arrow", arrow_file(rows)),
        ("plain.arrows", arrow_stream(rows)),
        ("zstd.arrow", packed_arrow(rows, CompressionType::ZSTD, true)),
        ("lz4.arrow", packed_arrow(rows, CompressionType::LZ4_FRAME, true)),
        ("zstd.arrows", packed_arrow(rows, CompressionType::ZSTD, false)),
        ("plain.parquet", parquet(rows)),
        ("snappy.parquet", packed_parquet(rows, Compression::SNAPPY)),
        ("zstd.parquet", packed_parquet(rows, Compression::ZSTD(zstd))),
        ("lz4.parquet", packed_parquet(rows, Compression::LZ4_RAW)),
        (
            "gzip.parquet",
            packed_parquet(rows, Compression::GZIP(Default::default())),
        ),
    ]
}
