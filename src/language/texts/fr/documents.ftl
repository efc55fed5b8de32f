# What stands in documents.
document-certificate = Certificat de garantie
