//! The field `read`: what was read of a text before that was forgotten.

use super::{Keys, wrong_kind};
use crate::base::ids::{ArticleId, FixId};
use crate::tickets::fields::{self, Fault};
use crate::tickets::record::{WasRead, WasReadArticle, WasReadTry};
use serde_json::{Map, Value};

const EXPECTED: &str = "an object such as `{\"tries\":[{\"fix\":\"trips#reseal\",\"result\":\"resolved\",\"chance\":0.9}]}`";

pub(super) fn parsed(value: &Value) -> Result<WasRead, Fault> {
    let of = keys(value, fields::READ_KEYS)?;
    let tries = match of.get("tries") {
        None => Vec::new(),
        Some(Value::Array(items)) => items.iter().map(one_try).collect::<Result<_, _>>()?,
        Some(other) => return Err(wrong_kind("read", EXPECTED, other)),
    };
    Ok(WasRead {
        article: of.get("article").map(article).transpose()?,
        tries,
    })
}

fn keys<'a>(value: &'a Value, known: &[&str]) -> Result<Keys<'a>, Fault> {
    let Value::Object(object) = value else {
        return Err(wrong_kind("read", EXPECTED, value));
    };
    let object: &Map<String, Value> = object;
    if let Some(key) = object.keys().find(|key| !known.contains(&key.as_str())) {
        return Err(Fault::unknown_key(key, known));
    }
    Ok(Keys(object))
}

fn article(value: &Value) -> Result<WasReadArticle, Fault> {
    let of = keys(value, fields::READ_ARTICLE_KEYS)?;
    Ok(WasReadArticle {
        id: ArticleId::new(&name(&of, "id")?),
        chance: chance(&of)?,
    })
}

fn one_try(value: &Value) -> Result<WasReadTry, Fault> {
    let of = keys(value, fields::READ_TRY_KEYS)?;
    let result = of.text("result")?.ok_or_else(|| missing("result"))?;
    Ok(WasReadTry {
        fix: FixId::new(&name(&of, "fix")?),
        result: fields::result(&result)?,
        chance: chance(&of)?,
    })
}

/// The name of an article or a fix. Words of people have no place here: the text was forgotten.
fn name(of: &Keys<'_>, key: &str) -> Result<String, Fault> {
    let name = of.id(key)?.ok_or_else(|| missing(key))?;
    if name.contains(|c: char| c.is_whitespace() || c == '@') {
        let message = format!(
            "expected an id such as `trips#reseal` in `read`, but found `{}`",
            fields::cut(&name)
        );
        return Err(Fault::new("bad-id", "read", message));
    }
    Ok(name)
}

fn chance(of: &Keys<'_>) -> Result<f64, Fault> {
    let value = of.get("chance").ok_or_else(|| missing("chance"))?;
    let number = value.as_f64();
    fields::chance(number.ok_or_else(|| wrong_kind("read", "a number as `chance`", value))?)
}

fn missing(key: &str) -> Fault {
    let message = format!("`{key}` is missing in what was read");
    Fault::new("missing-field", "read", message)
}
