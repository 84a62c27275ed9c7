"""Names of colours: the 267 centroids of the ISCC-NBS system.

In: nothing. Out: (name, sRGB hex) of every centroid, read from `tables/colour_names.csv`.
Source: Kelly & Judd, "The ISCC-NBS Method of Designating Colors and a Dictionary of Color Names"
(NBS Circular 553, 1955; reissued as NBS SP 440, 1976; public domain), in J. Foster's rendering
as sRGB, read in the npm package color-name-lists 3.33.2 (lib/colors/nbs-iscc.json, CC0);
synonyms after a comma are left out. Three older copies give Deep Yellowish Pink as e66721, which
lies among the vivid reddish oranges; e66761 is kept, 2.6 ΔE00 from an independent rendering.
"""

from provenance.reference.loader import csv_rows


def centroids() -> tuple[tuple[str, str], ...]:
    """Every centroid as (name, hex without '#'), in the order of the system."""
    return tuple((row["name"], row["hex"]) for row in csv_rows("colour_names"))
