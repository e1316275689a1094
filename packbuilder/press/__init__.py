"""The press: a plan goes in, a PDF comes out. Nothing is decided here but how to say it in PDF."""
