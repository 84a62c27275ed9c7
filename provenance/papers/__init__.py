"""Papers that leave the house: tags, certificates, sheets for outlets, quotations."""
