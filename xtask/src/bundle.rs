//! The page in one file: style, scripts, icon and wasm stand in the document itself, which opens from a folder or a memory
//! stick without a network and without a server.
//!
//! Start at [`one_file`]. The wasm stands there in base64, as it is: gzipped inside it would be less than half as long, but
//! browsers of 2022 could not unpack it, and a file that lies on a stick has no download to wait for.

use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;
use sha2::{Digest, Sha256};

use crate::finish::replaced;

/// The name of the copy beside index.html.
pub const COPY: &str = "yokeline.html";

/// What ends or upsets a script or a style that stands in a document.
const NOT_INSIDE: [&str; 4] = ["</script", "<script", "<!--", "</style"];

/// The finished page in one file; `read` gives the bytes of the files that it names.
///
/// # Errors
/// A sentence, where the page is not such as the build makes it or a file cannot stand in a document.
pub fn one_file(
    html: &str,
    read: impl Fn(&str) -> Result<Vec<u8>, String>,
) -> Result<String, String> {
    let inline = |name: &str| -> Result<String, String> {
        let text = String::from_utf8(read(name)?)
            .map_err(|_| format!("{name} is not text in UTF-8."))?
            // A document's line ends are read as one character, and its sums are taken of what is read.
            .replace("\r\n", "\n");
        let lower = text.to_ascii_lowercase();
        match NOT_INSIDE.iter().find(|part| lower.contains(**part)) {
            Some(part) => Err(format!(
                "{name} holds \"{part}\", which cannot stand inside a document."
            )),
            None => Ok(text),
        }
    };
    let kept_tag = between(html, "<script src=\"./kept-", "</script>")?;
    let kept = inline(named_in(kept_tag, "src")?)?;
    let boot_tag = between(html, "<script src=\"./boot-", "</script>")?;
    let boot = inline(named_in(boot_tag, "src")?)?;
    let bindings = inline(named_in(boot_tag, "data-js")?)?;
    let worker = inline(named_in(boot_tag, "data-worker")?)?;
    let wasm = BASE64.encode(read(named_in(boot_tag, "data-wasm")?)?);
    let style_tag = between(html, "<link rel=\"stylesheet\"", "/>")?;
    let style = inline(named_in(style_tag, "href")?)?;
    let icon_tag = between(html, "<link rel=\"icon\"", "/>")?;
    let icon = BASE64.encode(read(named_in(icon_tag, "href")?)?);
    let policy_tag = between(html, "<meta http-equiv=\"Content-Security-Policy\"", ">")?;
    let policy = policy(&[&kept, &bindings, &boot], &style);

    let mut page = replaced(
        html,
        "<html lang=\"en-GB\">",
        "<html lang=\"en-GB\" data-copy>",
    )?;
    page = replaced(&page, policy_tag, &policy)?;
    page = replaced(&page, style_tag, &format!("<style>{style}</style>"))?;
    let icon_inside = format!("<link rel=\"icon\" href=\"data:image/svg+xml;base64,{icon}\">");
    page = replaced(&page, icon_tag, &icon_inside)?;
    page = replaced(&page, kept_tag, "")?;
    page = replaced(&page, boot_tag, "")?;
    // What is fetched beforehand and what installs a page have no meaning here.
    for tag in [
        "<link rel=\"preload\"",
        "<link rel=\"preload\"",
        "<link rel=\"manifest\"",
    ] {
        let tag = page_tag(&page, tag)?;
        page = replaced(&page, &tag, "")?;
    }
    let scripts = format!(
        "<script type=\"text/plain\" id=\"packed-wasm\">{wasm}</script>\n\
         <script type=\"text/plain\" id=\"packed-worker\">{worker}</script>\n\
         <script>{kept}</script>\n\
         <script id=\"packed-bindings\">{bindings}</script>\n\
         <script>{boot}</script>\n</body>"
    );
    page = replaced(&page, "</body>", &scripts)?;
    let outside = page.matches("=\"./").count();
    // The link that saves this file is not shown in it.
    if outside != page.matches(&format!("href=\"./{COPY}\"")).count() {
        return Err("The page in one file still names a file outside itself.".into());
    }
    Ok(page)
}

/// The policy of the page, with the sums of what stands in the document in place of where files come from: nothing else
/// runs, and nothing is fetched.
fn policy(scripts: &[&str], style: &str) -> String {
    let sums: Vec<String> = scripts.iter().map(|script| sum(script)).collect();
    format!(
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src {} 'wasm-unsafe-eval'; \
         style-src {}; img-src blob: data:; worker-src blob:; base-uri 'none'; form-action 'none'\">",
        sums.join(" "),
        sum(style)
    )
}

fn sum(text: &str) -> String {
    format!("'sha256-{}'", BASE64.encode(Sha256::digest(text)))
}

/// The file that an attribute names, without the "./" before it.
pub fn named_in<'a>(html: &'a str, attribute: &str) -> Result<&'a str, String> {
    let start = format!(" {attribute}=\"./");
    html.split_once(&start)
        .and_then(|(_, rest)| Some(rest.split_once('"')?.0))
        .ok_or_else(|| format!("The page names no file in {attribute}."))
}

/// The first part of a text that begins and ends so.
fn between<'a>(html: &'a str, begins: &str, ends: &str) -> Result<&'a str, String> {
    let start = html.find(begins);
    start
        .and_then(|start| {
            let length = html[start..].find(ends)? + ends.len();
            Some(&html[start..start + length])
        })
        .ok_or_else(|| format!("The page holds no {begins}…{ends}."))
}

fn page_tag(html: &str, begins: &str) -> Result<String, String> {
    between(html, begins, ">").map(str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str = "<html lang=\"en-GB\"><head>\
        <meta http-equiv=\"Content-Security-Policy\" content=\"script-src 'self'\">\
        <link rel=\"stylesheet\" href=\"./s.css\"/><link rel=\"icon\" href=\"./i.svg\"/>\
        <link rel=\"manifest\" href=\"./m\"/>\
        <script src=\"./kept-1.js\" defer></script>\
        <script src=\"./boot-1.js\" defer data-js=\"./b.js\" data-wasm=\"./w.wasm\" data-worker=\"./k.js\"></script>\
        <link rel=\"preload\" href=\"./b.js\"><link rel=\"preload\" href=\"./w.wasm\"></head>\
        <body><a href=\"./yokeline.html\">copy</a></body></html>";

    fn file(name: &str) -> Result<Vec<u8>, String> {
        Ok(match name {
            "boot-1.js" => "boot(\"$&\");\r\n",
            "kept-1.js" => "kept();",
            "b.js" => "bindings('$1');",
            "k.js" => "worker();",
            "s.css" => "p { color: red }",
            "i.svg" => "<svg/>",
            "w.wasm" => "\0asm",
            _ => return Err(format!("no {name}")),
        }
        .into())
    }

    #[test]
    fn everything_stands_inside_and_is_named_by_its_sum() {
        let page = one_file(PAGE, file).expect("a page");
        for inside in [
            "<html lang=\"en-GB\" data-copy>",
            "<style>p { color: red }</style>",
            "id=\"packed-bindings\">bindings('$1');</script>",
            "<script>kept();</script>",
            "<script>boot(\"$&\");\n</script>",
            ">AGFzbQ==</script>",
            "data:image/svg+xml;base64,PHN2Zy8+",
        ] {
            assert!(page.contains(inside), "{inside} is not in {page}");
        }
        // printf 'p { color: red }' | openssl dgst -sha256 -binary | base64, and so on.
        for sum in [
            "ngewhhP73WDIbgwseeu52VAAJgKdGUsu1IUQQsAm8m4=",
            "e0lx53p35GkplaDgd+4uhJp2Xb4EO/K+nRLeORM62Ms=",
            "Rf8nyKlzbYbMAXDHnuTQj5+aOMXxYYDZkAYxyL1fjsU=",
        ] {
            assert!(page.contains(&format!("'sha256-{sum}'")), "{sum}: {page}");
        }
        assert!(
            !page.contains("'self'") && !page.contains("preload") && !page.contains("manifest")
        );
    }

    #[test]
    fn what_would_end_a_script_early_is_refused() {
        let with = |bindings: &'static str| {
            one_file(PAGE, move |name| match name {
                "b.js" => Ok(bindings.into()),
                other => file(other),
            })
        };
        assert!(with("'</Script>'").is_err_and(|why| why.starts_with("b.js holds")));
        assert!(with("x <!-- y").is_err());
        assert!(with("'</div>'").is_ok());
    }

    #[test]
    fn a_page_of_another_make_is_refused() {
        let with_more = PAGE.replace("<body>", "<body><img src=\"./picture.png\">");
        assert!(one_file(&with_more, file).is_err_and(|why| why.contains("outside itself")));
        let without_boot = PAGE.replace("boot-1", "start");
        assert!(one_file(&without_boot, file).is_err_and(|why| why.contains("boot-")));
    }
}
