"""The company file: create, open, lock, back up, check, restore."""

from db.company_file.backups import Backup, back_up, back_up_if_changed, list_backups
from db.company_file.checking import CheckReport, check_file
from db.company_file.company import Company
from db.company_file.connection import APPLICATION_ID
from db.company_file.copies import save_copy
from db.company_file.opening import create_company, open_company, open_for_reading
from db.company_file.places import BACKUP_SUFFIX, SUFFIX, backup_folder, photo_folder
from db.company_file.restoring import restore

__all__ = [
    "APPLICATION_ID",
    "BACKUP_SUFFIX",
    "SUFFIX",
    "Backup",
    "CheckReport",
    "Company",
    "back_up",
    "back_up_if_changed",
    "backup_folder",
    "check_file",
    "create_company",
    "list_backups",
    "open_company",
    "open_for_reading",
    "photo_folder",
    "restore",
    "save_copy",
]
