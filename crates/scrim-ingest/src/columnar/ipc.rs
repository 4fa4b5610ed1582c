//! Arrow IPC, a message at a time: what a message claims of itself is checked before memory is set aside for it.
//!
//! The Arrow library allocates what a compressed buffer claims to unpack to, and what a footer claims of its blocks. One
//! flipped bit there claims more than there is, and that ends the whole program. So files and streams are taken apart
//! here into messages, each is checked (see [`check_batch`]), and only then the library decodes it.
//!
//! Source: Apache Arrow columnar format 1.5, "Serialization and Interprocess Communication".

use std::collections::HashMap;
use std::fs::File;
use std::io::{BufRead, BufReader, Read, Seek, SeekFrom};
use std::path::Path;
use std::sync::Arc;

use arrow::array::{Array, ArrayRef, RecordBatch};
use arrow::buffer::Buffer;
use arrow::datatypes::{Schema, SchemaRef};
use arrow::error::ArrowError;
use arrow::ipc::convert::try_fb_to_schema;
use arrow::ipc::reader::{RecordBatchDecoder, read_dictionary, read_footer_length};
use arrow::ipc::{
    Block, CompressionType, Message, MessageHeader, MetadataVersion, RecordBatch as Batch, root_as_footer,
    root_as_message,
};
use scrim_tables::limits::{LZ4_UNPACKS, MAX_BATCH_BYTES, SLACK_BYTES, ZSTD_UNPACKS};

use crate::IngestError;
use crate::input::Input;
use crate::mapping::Format;
use crate::open_file::open_file;

/// Before a message stands this, or in old files nothing, and then the length of its metadata.
const CONTINUATION: [u8; 4] = [0xff; 4];
/// A file begins and ends with `ARROW1`; before the last one stands the footer's length, four bytes.
const TAIL_BYTES: u64 = 10;
/// A schema of tracking has some ten columns, bytes.
const MAX_METADATA_BYTES: u64 = 16 * 1024 * 1024;
/// So much is set aside for a piece before any of it is there, bytes.
const FIRST_BYTES: u64 = 8 * 1024 * 1024;
/// Record batches of a file or a stream.
pub(super) struct IpcBatches {
    messages: Messages,
    schema: SchemaRef,
    /// Which columns are wanted, by their places.
    wanted: Vec<usize>,
    dictionaries: HashMap<i64, ArrayRef>,
}

/// Where messages come from.
enum Messages {
    File {
        file: BufReader<File>,
        /// Of dictionaries, then of record batches.
        blocks: std::vec::IntoIter<Block>,
        version: MetadataVersion,
    },
    Stream(Box<dyn BufRead>),
}

/// A message as it was read.
struct Raw {
    metadata: Vec<u8>,
    body: Buffer,
}

/// Opens a file or a stream; `wanted` chooses columns by the schema.
pub(super) fn open(
    path: &Path,
    format: Format,
    wanted: impl FnOnce(&Schema) -> Vec<usize>,
) -> Result<(SchemaRef, IpcBatches), IngestError> {
    let arrow = |source| IngestError::Arrow {
        path: path.into(),
        format: format.as_str(),
        source,
    };
    let (schema, messages) = if format == Format::ArrowFile {
        open_blocks(open_file(path)?).map_err(arrow)?
    } else {
        open_stream(Input::open(path, Some(format))?.unlimited()).map_err(arrow)?
    };
    let wanted = wanted(&schema);
    let projected = schema.project(&wanted).map_err(arrow)?;
    let batches = IpcBatches {
        messages,
        schema: Arc::new(schema),
        wanted,
        dictionaries: HashMap::new(),
    };
    Ok((Arc::new(projected), batches))
}

fn open_blocks(file: File) -> Result<(Schema, Messages), ArrowError> {
    let bytes = file.metadata()?.len();
    let mut file = BufReader::new(file);
    let before_tail = bytes
        .checked_sub(TAIL_BYTES)
        .ok_or_else(|| bad("it is too short"))?;
    file.seek(SeekFrom::Start(before_tail))?;
    let mut tail = [0; TAIL_BYTES as usize];
    file.read_exact(&mut tail)?;
    let footer_bytes = read_footer_length(tail)? as u64;
    let footer_at = before_tail.checked_sub(footer_bytes).ok_or_else(|| {
        bad(format!(
            "its footer claims {footer_bytes} bytes, more than the file has"
        ))
    })?;
    file.seek(SeekFrom::Start(footer_at))?;
    let footer = read_bounded(&mut file, footer_bytes, MAX_METADATA_BYTES)?;
    let footer = root_as_footer(&footer).map_err(|error| bad(format!("its footer: {error}")))?;
    let schema = footer.schema().ok_or_else(|| bad("its footer has no schema"))?;
    if !schema.endianness().equals_to_target_endianness() {
        return Err(bad("its byte order is not this computer's"));
    }
    let batches = footer.recordBatches().into_iter().flatten();
    let blocks: Vec<Block> = footer
        .dictionaries()
        .into_iter()
        .flatten()
        .chain(batches)
        .copied()
        .collect();
    for block in &blocks {
        let end = u64::try_from(block.offset())
            .ok()
            .zip(u64::try_from(block.metaDataLength()).ok())
            .zip(u64::try_from(block.bodyLength()).ok())
            .and_then(|((offset, metadata), body)| offset.checked_add(metadata)?.checked_add(body));
        if end.is_none_or(|end| end > footer_at) {
            return Err(bad(format!(
                "its footer claims a block at {} of {} and {} bytes; the data end at {footer_at}",
                block.offset(),
                block.metaDataLength(),
                block.bodyLength()
            )));
        }
    }
    let messages = Messages::File {
        file,
        blocks: blocks.into_iter(),
        version: footer.version(),
    };
    Ok((try_fb_to_schema(schema)?, messages))
}

fn open_stream(mut reader: Box<dyn BufRead>) -> Result<(Schema, Messages), ArrowError> {
    let first = next_of_stream(&mut reader)?.ok_or_else(|| bad("the stream is empty"))?;
    let message = parsed(&first.metadata)?;
    let schema = message
        .header_as_schema()
        .ok_or_else(|| bad("the stream does not begin with its schema"))?;
    if !schema.endianness().equals_to_target_endianness() {
        return Err(bad("its byte order is not this computer's"));
    }
    Ok((try_fb_to_schema(schema)?, Messages::Stream(reader)))
}

impl Iterator for IpcBatches {
    type Item = Result<RecordBatch, ArrowError>;

    fn next(&mut self) -> Option<Self::Item> {
        self.next_batch().transpose()
    }
}

impl IpcBatches {
    fn next_batch(&mut self) -> Result<Option<RecordBatch>, ArrowError> {
        while let Some(raw) = self.messages.next()? {
            let message = parsed(&raw.metadata)?;
            if let Messages::File { version, .. } = self.messages
                && version != MetadataVersion::V1
                && version != message.version()
            {
                return Err(bad("a message is of another version than the footer"));
            }
            match message.header_type() {
                MessageHeader::DictionaryBatch => self.take_dictionary(&raw.body, &message)?,
                MessageHeader::RecordBatch => {
                    let batch = message
                        .header_as_record_batch()
                        .ok_or_else(|| bad("a message has no batch"))?;
                    check_batch(&batch, &raw.body)?;
                    let version = message.version();
                    let decoder = RecordBatchDecoder::try_new(
                        &raw.body,
                        batch,
                        self.schema.clone(),
                        &self.dictionaries,
                        &version,
                    )?;
                    return decoder
                        .with_projection(Some(&self.wanted))
                        .read_record_batch()
                        .map(Some);
                }
                MessageHeader::NONE => {}
                other => return Err(bad(format!("a message of kind {other:?} among the batches"))),
            }
        }
        Ok(None)
    }

    fn take_dictionary(&mut self, body: &Buffer, message: &Message<'_>) -> Result<(), ArrowError> {
        let dictionary = message
            .header_as_dictionary_batch()
            .ok_or_else(|| bad("a message has no dictionary"))?;
        let batch = dictionary
            .data()
            .ok_or_else(|| bad("a dictionary has no values"))?;
        check_batch(&batch, body)?;
        read_dictionary(
            body,
            dictionary,
            &self.schema,
            &mut self.dictionaries,
            &message.version(),
        )?;
        let held: usize = self
            .dictionaries
            .values()
            .map(|values| values.get_array_memory_size())
            .sum();
        if held as u64 > MAX_BATCH_BYTES {
            return Err(bad(format!(
                "its dictionaries are larger than {MAX_BATCH_BYTES} bytes"
            )));
        }
        Ok(())
    }
}

impl Messages {
    fn next(&mut self) -> Result<Option<Raw>, ArrowError> {
        match self {
            Self::Stream(reader) => next_of_stream(reader),
            Self::File { file, blocks, .. } => {
                let Some(block) = blocks.next() else {
                    return Ok(None);
                };
                file.seek(SeekFrom::Start(block.offset() as u64))?;
                let metadata = read_bounded(file, block.metaDataLength() as u64, MAX_METADATA_BYTES)?;
                let begin = if metadata.starts_with(&CONTINUATION) { 8 } else { 4 };
                let metadata = metadata
                    .get(begin..)
                    .ok_or_else(|| bad("a message is too short"))?
                    .to_vec();
                let body = read_bounded(file, block.bodyLength() as u64, MAX_BATCH_BYTES)?;
                Ok(Some(Raw {
                    metadata,
                    body: body.into(),
                }))
            }
        }
    }
}

/// The next message of a stream; `None` at its end.
fn next_of_stream(reader: &mut dyn BufRead) -> Result<Option<Raw>, ArrowError> {
    if reader.fill_buf()?.is_empty() {
        return Ok(None);
    }
    let mut four = [0; 4];
    reader.read_exact(&mut four)?;
    if four == CONTINUATION {
        reader.read_exact(&mut four)?;
    }
    let length = i32::from_le_bytes(four);
    let length = u64::try_from(length).map_err(|_| bad(format!("a message claims {length} bytes")))?;
    if length == 0 {
        return Ok(None);
    }
    let metadata = read_bounded(reader, length, MAX_METADATA_BYTES)?;
    let body = parsed(&metadata)?.bodyLength();
    let body = u64::try_from(body).map_err(|_| bad(format!("a message claims {body} bytes of body")))?;
    let body = read_bounded(reader, body, MAX_BATCH_BYTES)?.into();
    Ok(Some(Raw { metadata, body }))
}

fn parsed(metadata: &[u8]) -> Result<Message<'_>, ArrowError> {
    root_as_message(metadata).map_err(|error| bad(format!("a message: {error}")))
}

/// Reads so many bytes, and takes memory only as they come.
fn read_bounded(reader: &mut dyn BufRead, length: u64, most: u64) -> Result<Vec<u8>, ArrowError> {
    if length > most {
        return Err(bad(format!(
            "a piece claims {length} bytes; at most {most} are read at once"
        )));
    }
    let mut bytes = Vec::with_capacity(length.min(FIRST_BYTES) as usize);
    let read = reader.take(length).read_to_end(&mut bytes)?;
    if read as u64 != length {
        return Err(bad(format!("a piece claims {length} bytes, and {read} are left")));
    }
    Ok(bytes)
}

/// Whether what a batch claims can be: each buffer lies in the body, unpacks to no more than its packing can hold and all
/// together to no more than is set aside, and no column has more values than there are bits.
fn check_batch(batch: &Batch<'_>, body: &Buffer) -> Result<(), ArrowError> {
    let unpacks = batch.compression().map(|packing| match packing.codec() {
        CompressionType::LZ4_FRAME => LZ4_UNPACKS,
        _ => ZSTD_UNPACKS,
    });
    let mut all = 0u64;
    for buffer in batch.buffers().into_iter().flatten() {
        let bytes = usize::try_from(buffer.offset())
            .ok()
            .zip(usize::try_from(buffer.length()).ok())
            .and_then(|(at, length)| body.get(at..at.checked_add(length)?))
            .ok_or_else(|| {
                bad(format!(
                    "a buffer claims {} bytes at {}; its message has {}",
                    buffer.length(),
                    buffer.offset(),
                    body.len()
                ))
            })?;
        let claimed = match (unpacks, bytes.split_first_chunk()) {
            (Some(unpacks), Some((claimed, packed))) => match i64::from_le_bytes(*claimed) {
                // Kept as it is.
                -1 => packed.len() as u64,
                claimed => u64::try_from(claimed)
                    .ok()
                    .filter(|claimed| *claimed <= packed.len() as u64 * unpacks + SLACK_BYTES)
                    .ok_or_else(|| {
                        bad(format!(
                            "a buffer of {} bytes claims to unpack to {claimed}",
                            packed.len()
                        ))
                    })?,
            },
            _ => bytes.len() as u64,
        };
        all += claimed;
        if all > MAX_BATCH_BYTES {
            return Err(bad(format!(
                "a batch claims to unpack to more than {MAX_BATCH_BYTES} bytes"
            )));
        }
    }
    let nodes = batch.nodes().into_iter().flatten().map(|node| node.length());
    for values in nodes.chain([batch.length()]) {
        if u64::try_from(values).is_ok_and(|values| values <= 8 * all) {
            continue;
        }
        return Err(bad(format!("a batch of {all} bytes claims {values} values")));
    }
    Ok(())
}

fn bad(what: impl Into<String>) -> ArrowError {
    ArrowError::IpcError(what.into())
}
