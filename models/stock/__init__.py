"""Lists of stocked cables, one CSV file a list, one row a cable; read and checked by `ribway.models.stock_list`.

`metric.csv` holds thin-wall automotive twins (rated 90 C here, below the 105 C that many carry, so that their ampacity
errs low), PVC singles and multi-cores (70 C); `awg.csv` holds marine cable (105 C). Both hold the same data leads.
Outside sizes are typical values: common practice, no source; a reel is to be measured before holes are drilled for it.
"""
