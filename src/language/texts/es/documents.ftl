# What stands in documents.
document-certificate = Certificado de garantía
