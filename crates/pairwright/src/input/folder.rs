//! Which files may be read: the job file and what lies in its folder.

use std::fs;
use std::io::{ErrorKind, Read};
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;

use crate::diagnostic::{Code, Collector, Diagnostic, Place, Source, Sources};

use super::text;

/// Files larger than this are refused before they are read.
const LIMIT: u64 = 64 << 20;

/// A header is looked for in so many bytes.
const HEADER: u64 = 64 << 10;

/// A job's folder, and the texts read from it so far.
#[derive(Debug)]
pub(super) struct Folder {
    path: PathBuf,
    pub(super) sources: Sources,
}

/// Finds the job file: `path` itself, or `job.toml` in it.
pub(super) fn open_job(path: &Path, found: &mut Collector) -> (Folder, Option<Arc<Source>>) {
    let job = if path.is_dir() { path.join("job.toml") } else { path.to_owned() };
    let folder = match job.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    };
    let mut folder = Folder { path: folder, sources: Sources::default() };
    let name = job.display().to_string();
    if is_table(&job) && job.is_file() {
        found.push(not_a_job(&job, &name));
        return (folder, None);
    }
    let source = folder.read(&job, name, None, found);
    (folder, source)
}

/// Whether the name is that of a table rather than of a job file.
fn is_table(path: &Path) -> bool {
    let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or("");
    ["csv", "tsv", "tab"].iter().any(|table| ending.eq_ignore_ascii_case(table))
}

fn not_a_job(path: &Path, shown: &str) -> Diagnostic {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let help = if folder.join("job.toml").is_file() {
        format!("name its folder, `{}`: the job there says what the file is for", folder.display())
    } else {
        "name a folder with a `job.toml` that says what the file is for, as in `piston = \"pistons.csv\"`".to_owned()
    };
    Diagnostic::wrong(Code::FileNotAJob, format!("`{shown}` is a table of values, not a job")).help(help)
}

impl Folder {
    /// The folder's own name, for a job without a title.
    pub(super) fn name(&self) -> String {
        let full = self.path.canonicalize().unwrap_or_else(|_| self.path.clone());
        full.file_name().map_or_else(|| "job".to_owned(), |name| name.to_string_lossy().into_owned())
    }

    /// Reads the file that the job calls `name` at `place`; `None` after a report.
    pub(super) fn read_named(&mut self, name: &str, place: &Place, found: &mut Collector) -> Option<Arc<Source>> {
        if let Some(why) = self.leads_outside(name) {
            let item = Diagnostic::wrong(Code::FileOutside, format!("`{name}` is not a file in the job's folder"))
                .at(place.clone(), why)
                .help("copy the file into the folder of the job and name it alone");
            found.push(item);
            return None;
        }
        let path = self.path.join(name);
        let shown = if self.path == Path::new(".") { name.to_owned() } else { path.display().to_string() };
        self.read(&path, shown, Some(place), found)
    }

    /// The first lines of the file that the job calls `name`, for a look at its header; `None` where it cannot be read,
    /// which is reported when it is read whole.
    pub(super) fn start_of(&self, name: &str) -> Option<Source> {
        if self.leads_outside(name).is_some() {
            return None;
        }
        let path = self.path.join(name);
        if !fs::metadata(&path).ok()?.is_file() {
            return None;
        }
        let mut bytes = Vec::new();
        fs::File::open(path).ok()?.take(HEADER).read_to_end(&mut bytes).ok()?;
        // A character may be cut in two at the end.
        Some(Source::new(name.to_owned(), String::from_utf8_lossy(&bytes).into_owned()))
    }

    /// Why `name` does not stay inside the folder, if it does not.
    fn leads_outside(&self, name: &str) -> Option<&'static str> {
        for component in Path::new(name).components() {
            match component {
                Component::Normal(_) | Component::CurDir => {}
                Component::ParentDir => return Some("`..` leads out of the folder"),
                Component::RootDir | Component::Prefix(_) => return Some("this name starts at the root"),
            }
        }
        let (Ok(folder), Ok(file)) = (self.path.canonicalize(), self.path.join(name).canonicalize()) else {
            return None;
        };
        (!file.starts_with(folder)).then_some("a link leads out of the folder")
    }

    fn read(
        &mut self,
        path: &Path,
        shown: String,
        named: Option<&Place>,
        found: &mut Collector,
    ) -> Option<Arc<Source>> {
        let report = |item: Diagnostic| match named {
            Some(place) => item.at(place.clone(), "named here"),
            None => item,
        };
        match bytes_of(path) {
            Ok(bytes) => match text::decode(bytes, shown) {
                Ok(source) if source.text().trim().is_empty() => {
                    let item = Diagnostic::wrong(Code::FileEmpty, format!("`{}` is empty", source.name()));
                    let item = report(item).help(match named {
                        Some(_) => "write a header line and a row for every part or reading",
                        None => "a job needs at least `units` and one `[[match]]`",
                    });
                    found.push(item);
                    None
                }
                Ok(source) => Some(self.sources.add(source)),
                Err(refused) => {
                    found.push(refused.item);
                    self.sources.add(refused.source);
                    None
                }
            },
            Err(refusal) => {
                found.push(report(refusal.diagnostic(&shown, named.is_none())));
                None
            }
        }
    }
}

/// Why a file was not read.
enum Refusal {
    Missing,
    NotAFile,
    TooLarge(u64),
    System(std::io::Error),
}

fn bytes_of(path: &Path) -> Result<Vec<u8>, Refusal> {
    let refusal = |error: std::io::Error| match error.kind() {
        ErrorKind::NotFound => Refusal::Missing,
        _ => Refusal::System(error),
    };
    let meta = fs::metadata(path).map_err(refusal)?;
    if !meta.is_file() {
        return Err(Refusal::NotAFile);
    }
    if meta.len() > LIMIT {
        return Err(Refusal::TooLarge(meta.len()));
    }
    let mut bytes = Vec::with_capacity(usize::try_from(meta.len()).unwrap_or(0) + 1);
    // The file may grow while it is read.
    fs::File::open(path).map_err(refusal)?.take(LIMIT + 1).read_to_end(&mut bytes).map_err(refusal)?;
    if bytes.len() as u64 > LIMIT { Err(Refusal::TooLarge(bytes.len() as u64)) } else { Ok(bytes) }
}

impl Refusal {
    fn diagnostic(self, shown: &str, is_job: bool) -> Diagnostic {
        match self {
            Self::Missing => {
                let help = if is_job {
                    "name a folder that holds a `job.toml`, or the job file itself"
                } else {
                    "put the file into the folder of the job, or correct the name"
                };
                Diagnostic::wrong(Code::FileMissing, format!("there is no file `{shown}`")).help(help)
            }
            Self::NotAFile => {
                Diagnostic::wrong(Code::FileNotAFile, format!("`{shown}` is not a file")).help("name a CSV file")
            }
            Self::TooLarge(bytes) => {
                let size = bytes.div_ceil(1 << 20);
                Diagnostic::wrong(Code::FileTooLarge, format!("`{shown}` has {size} MB; 64 MB is the most"))
                    .help("keep only the rows and columns that the job needs")
            }
            Self::System(error) => {
                Diagnostic::wrong(Code::FileUnreadable, format!("`{shown}` cannot be read: {error}"))
                    .help("check that you may read the file and that nothing else holds it")
            }
        }
    }
}
