"""Printed files judged by programs that are not ours: qpdf, poppler, an OCR engine, and others."""
