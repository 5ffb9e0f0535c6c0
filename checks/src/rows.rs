//! Reads check files: CSV with prose lines before the header, or a JSON list of cases. `README.md` here says how.

use serde_json::{Map, Value};

/// One outside value or refusal that a figure must meet.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The figure asked.
    pub figure: String,
    /// The row's name, once per file.
    pub case: String,
    /// What is given.
    pub given: Map<String, Value>,
    /// What is wanted: answer fields by path.
    pub want: Map<String, Value>,
    /// The field that a refusal must name, `*` for any.
    pub want_refused: Option<String>,
    /// Allowed differences by path: a number, or an object of `abs`, `rel`, `rms`.
    pub tol: Map<String, Value>,
    /// Allowed relative differences by path.
    pub rtol: Map<String, Value>,
    /// How much the row proves.
    pub standing: String,
    /// Whose value it is.
    pub source: String,
    /// Where in the source.
    pub at: String,
    /// Where the tolerance comes from.
    pub tol_why: String,
}

/// Reads one file; `path` is relative to the checks folder (`chain/fit.csv`).
///
/// # Errors
/// A sentence that names the file and what is wrong with it: unreadable, empty, or a row that wants nothing.
pub fn read(path: &str, text: &str) -> Result<Vec<Row>, String> {
    let rows = if path.ends_with(".json") { read_json(path, text) } else { read_csv(path, text) }?;
    if rows.is_empty() {
        return Err(format!("{path} holds no row"));
    }
    if let Some(row) = rows.iter().find(|row| row.want.is_empty() && row.want_refused.is_none()) {
        return Err(format!("{path}: row {} wants nothing", row.case));
    }
    Ok(rows)
}

/// `chain/fit.csv` → `chain.fit`, unless the file names its figure.
fn figure_of(path: &str) -> String {
    path.rsplit_once('.').map_or(path, |(stem, _)| stem).replace('/', ".")
}

fn read_csv(path: &str, text: &str) -> Result<Vec<Row>, String> {
    let text = text.trim_start_matches('\u{feff}');
    let prose: Vec<&str> = text.lines().take_while(|line| line.starts_with('#')).collect();
    let named = prose.iter().find_map(|line| {
        let rest = line.trim_start_matches('#').trim_start().strip_prefix("figure")?;
        let name = rest.trim_start_matches(':').split_whitespace().next()?;
        name.contains('.').then(|| name.to_owned())
    });
    let figure = named.unwrap_or_else(|| figure_of(path));
    let body: String = text.lines().skip(prose.len()).flat_map(|line| [line, "\n"]).collect();
    let mut reader = csv::ReaderBuilder::new().flexible(false).from_reader(body.as_bytes());
    let header = reader.headers().map_err(|why| format!("{path}: {why}"))?.clone();
    let mut rows = Vec::new();
    for (number, record) in reader.records().enumerate() {
        let record = record.map_err(|why| format!("{path}: {why}"))?;
        let mut row = blank(&figure, number);
        for (key, cell) in header.iter().zip(&record) {
            place(&mut row, key, cell).map_err(|why| format!("{path}: row {}: {key}: {why}", row.case))?;
        }
        rows.push(row);
    }
    Ok(rows)
}

fn blank(figure: &str, number: usize) -> Row {
    Row {
        figure: figure.to_owned(),
        case: number.to_string(),
        given: Map::new(),
        want: Map::new(),
        want_refused: None,
        tol: Map::new(),
        rtol: Map::new(),
        standing: String::new(),
        source: String::new(),
        at: String::new(),
        tol_why: String::new(),
    }
}

fn place(row: &mut Row, key: &str, text: &str) -> Result<(), String> {
    let words = |target: &mut String| text.trim().clone_into(target);
    match key {
        "case" => words(&mut row.case),
        "standing" => words(&mut row.standing),
        "source" => words(&mut row.source),
        "at" => words(&mut row.at),
        "tol_why" => words(&mut row.tol_why),
        "note" | "status" => {}
        "want_refused" => row.want_refused = Some(text.trim().to_owned()).filter(|field| !field.is_empty()),
        _ => {
            let Some(value) = cell(text)? else { return Ok(()) };
            let (target, name) = if let Some(name) = key.strip_prefix("want_") {
                (&mut row.want, name)
            } else if let Some(name) = key.strip_prefix("tol_") {
                (&mut row.tol, name)
            } else if let Some(name) = key.strip_prefix("rtol_") {
                (&mut row.rtol, name)
            } else {
                (&mut row.given, key)
            };
            target.insert(name.to_owned(), value);
        }
    }
    Ok(())
}

/// A cell: blank, JSON, true or false, a finite number, else text.
fn cell(text: &str) -> Result<Option<Value>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    if text == "true" || text == "false" {
        return Ok(Some(Value::Bool(text == "true")));
    }
    if text.starts_with(['[', '{']) {
        return serde_json::from_str(text).map(Some).map_err(|why| why.to_string());
    }
    let digits = text.trim_start_matches(['+', '-']);
    if !digits.is_empty()
        && digits.bytes().all(|byte| byte.is_ascii_digit())
        && let Ok(whole) = text.trim_start_matches('+').parse::<i64>()
    {
        return Ok(Some(Value::from(whole)));
    }
    match text.parse::<f64>() {
        Ok(real) if real.is_finite() => Ok(Some(Value::from(real))),
        _ => Ok(Some(Value::from(text))),
    }
}

fn read_json(path: &str, text: &str) -> Result<Vec<Row>, String> {
    let value: Value = serde_json::from_str(text).map_err(|why| format!("{path}: {why}"))?;
    let cases = value.as_array().or_else(|| value["cases"].as_array());
    let cases = cases.ok_or_else(|| format!("{path}: no list of cases"))?;
    let figure = figure_of(path);
    Ok(cases
        .iter()
        .enumerate()
        .filter(|(_, case)| case.get("given").is_some())
        .map(|(n, case)| json_row(&figure, n, case))
        .collect())
}

fn json_row(figure: &str, number: usize, case: &Value) -> Row {
    let words = |key: &str| case[key].as_str().unwrap_or_default().to_owned();
    let object = |key: &str| case[key].as_object().cloned().unwrap_or_default();
    let mut want = object("want");
    let want_refused = want.shift_remove("refused").and_then(|field| field.as_str().map(str::to_owned));
    Row {
        figure: case["figure"].as_str().unwrap_or(figure).to_owned(),
        case: case["case"].as_str().map_or_else(|| number.to_string(), str::to_owned),
        given: object("given"),
        want: want.into_iter().filter(|(_, value)| !value.is_null()).collect(),
        want_refused,
        tol: object("tol"),
        rtol: object("rtol"),
        standing: words("standing"),
        source: words("source"),
        at: words("at"),
        tol_why: words("tol_why"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_csv_names_its_figure_and_blanks_stay_blank() {
        let text =
            "# figure: a.b\n# prose\ncase,x_mm,y,want_z,tol_z,want_refused\none,1.5,,2,0.1,\ntwo,NaN,[1],,,x_mm\n";
        let rows = read("d/f.csv", text).expect("reads");
        assert_eq!(rows[0].figure, "a.b");
        assert_eq!(rows[0].given["x_mm"], Value::from(1.5));
        assert!(!rows[0].given.contains_key("y"));
        assert_eq!(rows[1].given["x_mm"], Value::from("NaN"));
        assert_eq!(rows[1].want_refused.as_deref(), Some("x_mm"));
    }

    #[test]
    fn an_empty_file_and_a_row_that_wants_nothing_fail() {
        assert!(read("d/f.csv", "case,x,want_y\n").is_err());
        assert!(read("d/f.csv", "case,x,want_y\none,1,\n").is_err());
    }
}
