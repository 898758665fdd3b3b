"""What others receive: the workbook and the calendar."""
