"""Many runs of one plan: blocks on all cores, kept as they finish, and put together again."""

from sitesim.study.folder import StudyFolder, StudyFolderError
from sitesim.study.runner import BLOCK, Interrupted, Study, StudySettings, run_study

__all__ = [
    "BLOCK",
    "Interrupted",
    "Study",
    "StudyFolder",
    "StudyFolderError",
    "StudySettings",
    "run_study",
]
