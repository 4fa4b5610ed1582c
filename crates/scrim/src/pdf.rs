//! A page as a PDF, by a Chromium that is on the machine.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Names the browser to use.
const VARIABLE: &str = "SCRIM_CHROMIUM";
/// What a Chromium is called.
const PROGRAMS: [&str; 2] = ["chromium", "chromium-browser"];

/// A PDF that cannot be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PdfError {
    /// No browser.
    #[error(
        "no Chromium to make a PDF with: found none of {PROGRAMS:?} in PATH; install one, or name it in {VARIABLE}"
    )]
    NoBrowser,
    /// A path has no absolute form, or the browser does not start.
    #[error("{path}: cannot be used to make a PDF", path = path.display())]
    Path {
        /// The page, the PDF or the browser.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The browser made none.
    #[error(
        "{path}: {browser} made no PDF ({status}); check that the folder exists and may be written",
        path = path.display(), browser = browser.display()
    )]
    NotMade {
        /// The PDF.
        path: PathBuf,
        /// The browser.
        browser: PathBuf,
        /// How it ended.
        status: std::process::ExitStatus,
    },
}

/// Prints the page at `html`, which needs no network, to `pdf`.
///
/// # Errors
/// [`PdfError`]: there is no browser, or it makes no PDF.
pub fn print_pdf(html: &Path, pdf: &Path) -> Result<(), PdfError> {
    let browser = browser().ok_or(PdfError::NoBrowser)?;
    let absolute = |path: &Path| {
        std::path::absolute(path).map_err(|source| PdfError::Path {
            path: path.into(),
            source,
        })
    };
    let (html, pdf) = (absolute(html)?, absolute(pdf)?);
    // What an earlier call made must not pass for this one's.
    if let Err(source) = std::fs::remove_file(&pdf)
        && source.kind() != std::io::ErrorKind::NotFound
    {
        return Err(PdfError::Path { path: pdf, source });
    }
    let mut to = OsString::from("--print-to-pdf=");
    to.push(&pdf);
    let mut command = Command::new(&browser);
    command.args([
        "--headless=new",
        "--disable-gpu",
        "--no-pdf-header-footer",
        "--disable-extensions",
    ]);
    if is_root() {
        // Chromium refuses its sandbox to root. The page is our own, and fetches nothing.
        command.arg("--no-sandbox");
    }
    let status = command
        .arg(to)
        .arg(&html)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .map_err(|source| PdfError::Path {
            path: browser.clone(),
            source,
        })?;
    if pdf.is_file() {
        return Ok(());
    }
    Err(PdfError::NotMade {
        path: pdf,
        browser,
        status,
    })
}

/// The browser that is named, or the first that is in `PATH`.
fn browser() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os(VARIABLE) {
        return Some(named.into());
    }
    let folders = std::env::var_os("PATH")?;
    std::env::split_paths(&folders)
        .flat_map(|folder| PROGRAMS.map(|program| folder.join(program)))
        .find(|path| path.is_file())
}

/// Whether this process is root's, as far as the system says.
#[cfg(unix)]
fn is_root() -> bool {
    use std::os::unix::fs::MetadataExt;
    std::fs::metadata("/proc/self").is_ok_and(|process| process.uid() == 0)
}

#[cfg(not(unix))]
fn is_root() -> bool {
    false
}
