"""Many runs of one plan: blocks on all cores, kept as they finish, and put together again."""

from sitesim.study.folder import StudyFolder, StudyFolderError
from sitesim.study.runner import (
    BLOCK,
    Interrupted,
    Progress,
    Study,
    StudySettings,
    free_folder,
    parse_until,
    run_study,
)

__all__ = [
    "BLOCK",
    "Interrupted",
    "Progress",
    "Study",
    "StudyFolder",
    "StudyFolderError",
    "StudySettings",
    "free_folder",
    "parse_until",
    "run_study",
]
