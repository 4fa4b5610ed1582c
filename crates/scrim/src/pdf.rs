//! A page as a PDF, by a Chromium that is on the machine.

use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use crate::reports::{ReportFailure, write_whole};

/// Names the browser to use.
const VARIABLE: &str = "SCRIM_CHROMIUM";
/// What a Chromium is called.
const PROGRAMS: [&str; 2] = ["chromium", "chromium-browser"];
/// How every PDF begins (ISO 32000-1, 7.5.2).
const BEGINS: &[u8] = b"%PDF-";

/// A PDF that cannot be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PdfError {
    /// No browser.
    #[error(
        "no Chromium to make a PDF with: found none of {PROGRAMS:?} in PATH; install one, or name it in {VARIABLE}"
    )]
    NoBrowser,
    /// The target would overwrite something that is no PDF.
    #[error("{path}: is there and is no PDF; give a file that is not there yet, or an earlier PDF", path = path.display())]
    Taken {
        /// The target.
        path: PathBuf,
    },
    /// A file cannot be read or written, or the browser does not start.
    #[error("{path}: cannot be used to make a PDF", path = path.display())]
    Path {
        /// The page, the PDF or the browser.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// It is made, and cannot be put in place.
    #[error(transparent)]
    Write(#[from] ReportFailure),
    /// The browser made none.
    #[error("{browser} made no PDF ({status}): {said}", browser = browser.display())]
    NotMade {
        /// The browser.
        browser: PathBuf,
        /// How it ended.
        status: std::process::ExitStatus,
        /// The last line that it said.
        said: String,
    },
}

/// Prints the page at `html`, which needs no network, to `pdf`. What stands there is replaced when it is a PDF, and only by a whole one.
///
/// # Errors
/// [`PdfError`]: there is no browser, the target is something else, or no PDF is made.
pub fn print_pdf(html: &Path, pdf: &Path) -> Result<(), PdfError> {
    let failed = |path: &Path| {
        let path = path.to_owned();
        move |source| PdfError::Path { path, source }
    };
    let browser = browser().ok_or(PdfError::NoBrowser)?;
    let html = std::path::absolute(html).map_err(failed(html))?;
    let pdf = std::path::absolute(pdf).map_err(failed(pdf))?;
    let is_there = pdf.symlink_metadata().is_ok();
    if is_there && !(pdf.is_file() && is_pdf(&pdf)) {
        return Err(PdfError::Taken { path: pdf });
    }
    let own = tempfile::tempdir().map_err(failed(&std::env::temp_dir()))?;
    let made = own.path().join("report.pdf");
    // The browser goes by the name: without `.html` it prints plain text.
    let page = own.path().join("report.html");
    fs::copy(&html, &page).map_err(failed(&html))?;
    let ended = print(&browser, &page, &made, own.path()).map_err(failed(&browser))?;
    if !ended.status.success() || !is_pdf(&made) {
        let said = String::from_utf8_lossy(&ended.stderr);
        return Err(PdfError::NotMade {
            browser,
            status: ended.status,
            said: said.lines().last().unwrap_or("it said nothing").trim().to_owned(),
        });
    }
    let text = fs::read(&made).map_err(failed(&made))?;
    Ok(write_whole(&pdf, &text)?)
}

fn print(browser: &Path, html: &Path, pdf: &Path, own: &Path) -> std::io::Result<Output> {
    let with = |option: &str, path: &Path| {
        let mut text = OsString::from(option);
        text.push(path);
        text
    };
    let mut command = Command::new(browser);
    command.args([
        "--headless=new",
        "--disable-gpu",
        "--no-pdf-header-footer",
        "--disable-extensions",
        "--no-first-run",
    ]);
    if is_root() {
        // Chromium refuses its sandbox to root. The page is our own, and fetches nothing.
        command.arg("--no-sandbox");
    }
    command
        .arg(with("--user-data-dir=", &own.join("profile")))
        .arg(with("--print-to-pdf=", pdf))
        .arg(html)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .output()
}

fn is_pdf(path: &Path) -> bool {
    use std::io::Read;
    let mut begin = [0; BEGINS.len()];
    fs::File::open(path)
        .and_then(|mut file| file.read_exact(&mut begin))
        .is_ok()
        && begin == *BEGINS
}

/// The browser that is named, or the first that is in `PATH`.
fn browser() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os(VARIABLE).filter(|named| !named.is_empty()) {
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
    fs::metadata("/proc/self").is_ok_and(|process| process.uid() == 0)
}

#[cfg(not(unix))]
fn is_root() -> bool {
    false
}
