"""The report for programs. Takes a job, gives plain JSON; docs/check.schema.json is its schema."""

from typing import Any

from ..checks import Finding
from ..checks.wording import sentences
from ..job import Job
from ..words import Words, words
from .items import Copy, meant_for


def as_json(job: Job, copy: Copy = "shop") -> dict[str, Any]:
    """Every finding by itself, and what was not examined."""
    say = words(job.order.language)
    quiet = [_finding(finding, say) | {"reason": finding.silenced} for finding in meant_for(copy, job.silenced)]
    return {
        "schema": 1,
        "findings": [_finding(finding, say) for finding in meant_for(copy, job.findings)],
        **({"silenced": quiet} if quiet else {}),
        "not_examined": [{"what": one.what, "why": one.why} for one in job.not_examined],
        **({"assumed": list(job.assumed)} if job.assumed else {}),
    }


def _finding(finding: Finding, say: Words) -> dict[str, Any]:
    said = sentences(finding, say)
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "audience": finding.audience,
        "panel": finding.panel,
        "file": finding.file,
        "page": finding.page,
        "where_mm": list(finding.where) if finding.where else None,
        "message": said.message,
        "advice": said.advice,
        "evidence": finding.evidence,
    }
