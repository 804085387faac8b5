"""All mutants, over all floors."""

from tests.mutations.files_and_doors import FILES_AND_DOORS
from tests.mutations.floor import FLOOR
from tests.mutations.ground_and_craft import GROUND_AND_CRAFT
from tests.mutations.measures import MEASURES
from tests.mutations.mornings import MORNINGS
from tests.mutations.mutant import Mutant
from tests.mutations.records import RECORDS
from tests.mutations.reports import REPORTS
from tests.mutations.studies import STUDIES
from tests.mutations.working_time import WORKING_TIME

MUTANTS: tuple[Mutant, ...] = (
    *GROUND_AND_CRAFT, *FLOOR, *MEASURES, *STUDIES, *FILES_AND_DOORS, *RECORDS, *REPORTS, *MORNINGS, *WORKING_TIME,
)  # fmt: skip
