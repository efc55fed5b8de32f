# What stands in documents.
document-certificate = Garantieurkunde
