"""The same garment done otherwise, each way weighed up: other widths and heddles, joins, other cloth, cloth that is there already."""
