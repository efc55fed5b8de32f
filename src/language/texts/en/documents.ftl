# What stands in documents.
document-certificate = Warranty certificate
