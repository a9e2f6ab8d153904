//! The page's modules as one script: a page that is opened from the file system may load none.
//!
//! Each module becomes a function of its own that gives back what it exports, in an order in which
//! whatever is imported comes first, so names inside of a module stay its own. Comments on lines of
//! their own are left out, and so is what a line is moved in by: no text of a module runs over lines.

use std::collections::BTreeMap;
use std::fmt::Write;

/// Joins modules, given by file name. Imports must stand at the beginning of a line as
/// `import { a, b } from "./name.mjs";` or `import * as name from "./name.mjs";`, exports as
/// `export function`, `export class` or `export const` with one name.
///
/// # Errors
/// In words, where a module imports one that is not there, or two import each other.
pub(super) fn join(modules: &[(&str, &str)]) -> Result<String, String> {
    let read: BTreeMap<&str, Module> = modules
        .iter()
        .map(|(name, text)| (*name, Module::read(text)))
        .collect();
    let mut order: Vec<&str> = Vec::new();
    while order.len() < read.len() {
        let before = order.len();
        for (name, module) in &read {
            let ready = |import: &Import| order.contains(&import.from.as_str());
            if !order.contains(name) && module.imports.iter().all(ready) {
                order.push(name);
            }
        }
        if order.len() == before {
            let left: Vec<&&str> = read.keys().filter(|n| !order.contains(n)).collect();
            return Err(format!("these modules wait for each other: {left:?}"));
        }
    }
    let mut script = String::from("\"use strict\";\n");
    for name in order {
        read[name].write(name, &mut script);
    }
    Ok(script)
}

struct Import {
    /// `{ a, b }` or a name for everything.
    what: String,
    from: String,
}

struct Module {
    imports: Vec<Import>,
    exports: Vec<String>,
    body: String,
}

impl Module {
    fn read(text: &str) -> Self {
        let mut module = Self {
            imports: Vec::new(),
            exports: Vec::new(),
            body: String::with_capacity(text.len()),
        };
        let mut rest = text;
        while !rest.is_empty() {
            if rest.starts_with("import ")
                && let Some((statement, after)) = rest.split_once(";\n")
            {
                module.imports.extend(import(statement));
                rest = after;
                continue;
            }
            let (line, after) = rest.split_once('\n').unwrap_or((rest, ""));
            if line.trim_start().starts_with("/**") {
                rest = rest.split_once("*/\n").map_or("", |(_, after)| after);
                continue;
            }
            if line.trim_start().starts_with("//") {
                rest = after;
                continue;
            }
            let line = match line.strip_prefix("export ") {
                Some(declared) => {
                    module.exports.extend(declared_name(declared));
                    declared
                }
                None => line,
            };
            module.body.push_str(line.trim_start());
            module.body.push('\n');
            rest = after;
        }
        module
    }

    fn write(&self, name: &str, script: &mut String) {
        let _ = writeln!(script, "const {} = (() => {{", variable(name));
        for Import { what, from } in &self.imports {
            let _ = writeln!(script, "const {what} = {};", variable(from));
        }
        script.push_str(&self.body);
        let _ = writeln!(script, "return {{ {} }};\n}})();", self.exports.join(", "));
    }
}

fn import(statement: &str) -> Option<Import> {
    let (what, from) = statement.strip_prefix("import ")?.split_once(" from ")?;
    let path = from.trim().trim_matches('"');
    let from = path.rsplit('/').next()?.to_owned();
    let words: Vec<&str> = what.split_whitespace().collect();
    let what = match words.as_slice() {
        ["*", "as", name] => (*name).to_owned(),
        // `a as b` in an import is `a: b` in a destructuring.
        _ => words.join(" ").replace(" as ", ": "),
    };
    Some(Import { what, from })
}

fn declared_name(declared: &str) -> Option<String> {
    let after = ["async function ", "function ", "class ", "const "]
        .into_iter()
        .find_map(|word| declared.strip_prefix(word))?;
    let name = after
        .split(|c: char| !c.is_alphanumeric() && c != '_')
        .next();
    name.map(str::to_owned)
}

fn variable(file: &str) -> String {
    let stem = file.strip_suffix(".mjs").unwrap_or(file);
    format!("of_{}", stem.replace('-', "_"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn modules_come_after_what_they_import_and_keep_their_names_apart() {
        let joined = join(&[
            (
                "a.mjs",
                "// About it.\n\nimport {\n  two,\n  three as drei,\n} from \"./b.mjs\";\nconst own = 1;\n/** Adds\n * both. */\nexport function one() { return two + drei; }\n",
            ),
            ("b.mjs", "const own = 2;\nexport const two = own;\nexport const three = 3;\n"),
        ])
        .unwrap();
        assert_eq!(
            joined,
            "\"use strict\";\nconst of_b = (() => {\nconst own = 2;\nconst two = own;\nconst three = 3;\n\
             return { two, three };\n})();\nconst of_a = (() => {\nconst { two, three: drei, } = of_b;\n\n\
             const own = 1;\nfunction one() { return two + drei; }\nreturn { one };\n})();\n"
        );
    }

    #[test]
    fn circles_and_missing_modules_are_told() {
        let circle = [
            ("a.mjs", "import { b } from \"./b.mjs\";\n"),
            ("b.mjs", "import { a } from \"./a.mjs\";\n"),
        ];
        assert!(join(&circle).unwrap_err().contains("a.mjs"));
        assert!(join(&circle[..1]).is_err());
    }
}
