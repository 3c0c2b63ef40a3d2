"""The papers and archives of dist/build, with the standard library of Python 3 alone.

  papers.py licenses            texts of the licenses of every package in the program, to stdout
  papers.py sbom                the packages as CycloneDX 1.5 (an open standard), to stdout
  papers.py html FILE.md        a Markdown file as one page of HTML, to stdout
  papers.py tar.gz FOLDER FILE  a folder as an archive without times and owners
  papers.py zip FOLDER FILE     the same for Windows
"""

import gzip
import html
import io
import json
import os
import re
import subprocess
import sys
import tarfile
import time
import zipfile
from pathlib import Path

TARGETS = ["x86_64-unknown-linux-musl", "x86_64-pc-windows-gnu"]


def packages():
    """What is linked into the program on either system, by name and version."""
    words = ["cargo", "metadata", "--locked", "--format-version", "1"]
    for target in TARGETS:
        words += ["--filter-platform", target]
    data = json.loads(subprocess.run(words, check=True, capture_output=True).stdout)
    by_id = {package["id"]: package for package in data["packages"]}
    nodes = {node["id"]: node for node in data["resolve"]["nodes"]}
    seen, waiting = set(), [data["resolve"]["root"]]
    while waiting:
        one = waiting.pop()
        if one in seen:
            continue
        seen.add(one)
        for dependency in nodes[one]["deps"]:
            # Neither tests nor what only runs while building is part of the program.
            if any(kind["kind"] is None for kind in dependency["dep_kinds"]):
                waiting.append(dependency["pkg"])
    seen.discard(data["resolve"]["root"])
    return sorted((by_id[one] for one in seen), key=lambda p: (p["name"], p["version"]))


def licenses():
    out = ["The program contains these packages, each under the license named.\n"]
    texts = {}
    for package in packages():
        out.append(f"{package['name']} {package['version']}: {package['license'] or 'see its text'}")
        folder = Path(package["manifest_path"]).parent
        for path in sorted(folder.iterdir()):
            if re.match(r"(?i)(licen[sc]e|copying|notice|unlicense)", path.name) and path.is_file():
                text = path.read_text(encoding="utf-8", errors="replace").strip()
                texts.setdefault(text, []).append(f"{package['name']} {package['version']}")
    for text, names in texts.items():
        out.append("\n" + "=" * 72 + "\n" + ", ".join(names) + "\n" + "=" * 72 + "\n" + text)
    return "\n".join(out) + "\n"


def sbom():
    when = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(int(os.environ["SOURCE_DATE_EPOCH"])))
    lock = Path("Cargo.lock").read_text(encoding="utf-8")
    sums = dict(
        ((name, version), digest)
        for name, version, digest in re.findall(
            r'name = "([^"]+)"\nversion = "([^"]+)"\nsource = [^\n]+\nchecksum = "([0-9a-f]+)"', lock
        )
    )
    parts = []
    for package in packages():
        name, version = package["name"], package["version"]
        part = {
            "type": "library",
            "bom-ref": f"pkg:cargo/{name}@{version}",
            "name": name,
            "version": version,
            "purl": f"pkg:cargo/{name}@{version}",
        }
        if package["license"]:
            part["licenses"] = [{"expression": package["license"].replace("/", " OR ")}]
        if (name, version) in sums:
            part["hashes"] = [{"alg": "SHA-256", "content": sums[name, version]}]
        parts.append(part)
    own = re.search(r'^version = "(.*)"', Path("Cargo.toml").read_text(encoding="utf-8"), re.M)
    return json.dumps(
        {
            "bomFormat": "CycloneDX",
            "specVersion": "1.5",
            "version": 1,
            "metadata": {
                "timestamp": when,
                "component": {"type": "application", "name": "spanyard", "version": own.group(1)},
            },
            "components": parts,
        },
        indent=1,
    ) + "\n"


def inline(text):
    """Code, links and bold within a line."""
    out = []
    for number, piece in enumerate(text.split("`")):
        if number % 2:
            out.append(f"<code>{html.escape(piece)}</code>")
            continue
        piece = html.escape(piece)
        piece = re.sub(r"\[([^\]]+)\]\(([^)]+)\)", r'<a href="\2">\1</a>', piece)
        out.append(re.sub(r"\*\*([^*]+)\*\*", r"<strong>\1</strong>", piece))
    return "".join(out)


def page(path):
    """As much of Markdown as our documents use."""
    lines = Path(path).read_text(encoding="utf-8").splitlines()
    out, at, title = [], 0, "spanyard"
    while at < len(lines):
        line = lines[at]
        if line.startswith("```"):
            end = at + 1
            while end < len(lines) and not lines[end].startswith("```"):
                end += 1
            out.append(f"<pre>{html.escape(chr(10).join(lines[at + 1:end]))}</pre>")
            at = end + 1
        elif heading := re.match(r"(#+) (.*)", line):
            level = len(heading.group(1))
            title = heading.group(2) if level == 1 else title
            out.append(f"<h{level}>{inline(heading.group(2))}</h{level}>")
            at += 1
        elif line.startswith("|"):
            rows = []
            while at < len(lines) and lines[at].startswith("|"):
                rows.append([cell.strip() for cell in re.split(r"(?<!\\)\|", lines[at].strip("|"))])
                at += 1
            cells = lambda row, tag: "".join(f"<{tag}>{inline(c)}</{tag}>" for c in row)
            body = "".join(f"<tr>{cells(row, 'td')}</tr>" for row in rows[2:])
            out.append(f"<table><tr>{cells(rows[0], 'th')}</tr>{body}</table>")
        elif re.match(r"(-|\*|\d+\.) ", line):
            tag = "ol" if line[0].isdigit() else "ul"
            items = []
            while at < len(lines) and (re.match(r"(-|\*|\d+\.) ", lines[at]) or lines[at].startswith("  ")):
                if lines[at].startswith("  "):
                    items[-1] += " " + lines[at].strip()
                else:
                    items.append(lines[at].split(" ", 1)[1])
                at += 1
            out.append(f"<{tag}>" + "".join(f"<li>{inline(item)}</li>" for item in items) + f"</{tag}>")
        elif line.strip():
            text = []
            while at < len(lines) and lines[at].strip() and not re.match(r"(```|#|\||- |\d+\. )", lines[at]):
                text.append(lines[at])
                at += 1
            out.append(f"<p>{inline(' '.join(text))}</p>")
        else:
            at += 1
    style = (
        "body{font:16px/1.5 sans-serif;max-width:60rem;margin:2rem auto;padding:0 1rem}"
        "pre{background:#f3f3f3;padding:.7rem;overflow:auto}code{font-family:monospace}"
        "table{border-collapse:collapse}td,th{border:1px solid #999;padding:.2rem .5rem;text-align:left}"
    )
    return (
        f'<!doctype html><html lang="en"><meta charset="utf-8"><title>{html.escape(title)}</title>'
        f"<style>{style}</style>{''.join(out)}</html>\n"
    )


def files(folder):
    root = Path(folder)
    for path in sorted(root.rglob("*")):
        if path.is_file():
            runs = path.name in ("spanyard", "spanyard.exe")
            yield f"{root.name}/{path.relative_to(root).as_posix()}", path.read_bytes(), runs


def tar_gz(folder, to):
    epoch = int(os.environ["SOURCE_DATE_EPOCH"])
    plain = io.BytesIO()
    with tarfile.open(fileobj=plain, mode="w", format=tarfile.USTAR_FORMAT) as archive:
        for name, content, runs in files(folder):
            entry = tarfile.TarInfo(name)
            entry.size, entry.mtime, entry.mode = len(content), epoch, 0o755 if runs else 0o644
            archive.addfile(entry, io.BytesIO(content))
    with open(to, "wb") as out, gzip.GzipFile("", "wb", 9, out, mtime=epoch) as packed:
        packed.write(plain.getvalue())


def zipped(folder, to):
    when = time.gmtime(int(os.environ["SOURCE_DATE_EPOCH"]))[:6]
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name, content, runs in files(folder):
            entry = zipfile.ZipInfo(name, when)
            entry.external_attr = (0o755 if runs else 0o644) << 16
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, content)


def main(words):
    match words:
        case ["licenses"]:
            sys.stdout.write(licenses())
        case ["sbom"]:
            sys.stdout.write(sbom())
        case ["html", path]:
            sys.stdout.write(page(path))
        case ["tar.gz", folder, to]:
            tar_gz(folder, to)
        case ["zip", folder, to]:
            zipped(folder, to)
        case _:
            sys.exit(__doc__)


main(sys.argv[1:])
