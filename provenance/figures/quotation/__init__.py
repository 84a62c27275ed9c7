"""A quotation worked out: cloth, yarn, needs, hours, price, time, score."""
