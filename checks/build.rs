//! Packs the rows and the tracks that they name into one compressed blob, so that the binary carries its own proof.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use flate2::{Compression, write::DeflateEncoder};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let here = PathBuf::from(std::env::var("CARGO_MANIFEST_DIR")?);
    let mut files = Vec::new();
    for domain in ["chain", "slack", "ride", "wear", "workshop"] {
        gather(&here.join(domain), &format!("{domain}/"), &["csv", "json"], &mut files)?;
    }
    gather(&here.join("../data/gpx"), "../data/gpx/", &["gpx"], &mut files)?;
    files.sort();
    let mut packed = DeflateEncoder::new(Vec::new(), Compression::best());
    for (name, path) in files {
        let bytes = fs::read(path)?;
        for part in [name.as_bytes(), &bytes] {
            packed.write_all(&u32::try_from(part.len())?.to_le_bytes())?;
            packed.write_all(part)?;
        }
    }
    fs::write(PathBuf::from(std::env::var("OUT_DIR")?).join("carried.deflate"), packed.finish()?)?;
    println!("cargo::rerun-if-changed=gaps.csv");
    Ok(())
}

fn gather(
    folder: &Path,
    prefix: &str,
    ends: &[&str],
    files: &mut Vec<(String, PathBuf)>,
) -> Result<(), Box<dyn std::error::Error>> {
    println!("cargo::rerun-if-changed={}", folder.display());
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let (Some(name), Some(end)) =
            (path.file_name().and_then(|n| n.to_str()), path.extension().and_then(|e| e.to_str()))
        else {
            continue;
        };
        if ends.contains(&end) {
            println!("cargo::rerun-if-changed={}", path.display());
            files.push((format!("{prefix}{name}"), path.clone()));
        }
    }
    Ok(())
}
