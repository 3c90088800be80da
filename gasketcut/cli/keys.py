"""The command that tells what a job file may say."""

from __future__ import annotations

import click

from gasketcut.cli.program import echo_json, main, say
from gasketcut.errors import GasketError


@main.command()
@click.argument("table", required=False)
@click.option("--schema", is_flag=True, help="Print the JSON Schema by which an editor completes and checks a job.")
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON.")
def keys(table: str | None, schema: bool, as_json: bool) -> None:
    """All tables of a job file in a line each; with TABLE that one, key by key.

    \b
    Example: gasketcut keys part.studs
             gasketcut keys --schema > job.schema.json
    """
    from gasketcut.job.reference import inside, section, sections

    if schema:
        from gasketcut.job.schema import job_schema

        echo_json(job_schema())
        return
    from gasketcut.output.data.keys import keys_data
    from gasketcut.output.text.keys import keys_text, section_text

    found = section(table) if table else None
    if table and found is None:
        from gasketcut.toml.faults import meant

        raise GasketError(f"{table!r} is no table of a job; {meant(table, [one.name for one in sections()])}")
    if as_json:
        echo_json(keys_data((found,) if found else sections()))
    else:
        say(section_text(found, inside(found)) if found else keys_text(sections()))
